//! A wide family of set-up sheets (methods, sizes of leaf, units, numbers of pads, passes) on small and large
//! screens: the drawing is there with its ends, its pads and its exaggeration, the numbers stand large, every number
//! is whole, none is merged with another, nothing is cut off, the cautions are in sight.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::recording::RecordCut;
use evenreveal::bench::sheets::Sheet;
use evenreveal::bench::{Screen, sheet_facts, sheet_words};
use evenreveal::cut::job::Method;
use evenreveal::cut::setup::Setup;
use evenreveal::cut::strokes::StoppedStroke;
use evenreveal::cut::tools::{Measured, ShimStock};
use evenreveal::fit::length::{Length, Show};
use evenreveal::screen::theme::Palette;
use evenreveal::shop::settings::Settings;
use screen_bench::{Bench, SINGLE, SIZES};
use std::collections::BTreeSet;

/// A leaf `width` by `height` with these trims accepted: edge, lower or left, upper or right.
fn bench(settings: Settings, (width, height): (&str, &str), trims: &[(&str, &str, &str)]) -> Bench {
    let single =
        SINGLE.replace("\"width\":\"11\",\"height\":\"26\"", &format!("\"width\":\"{width}\",\"height\":\"{height}\""));
    assert!(single.contains(width) && single.contains(height));
    let trims: Vec<String> = trims
        .iter()
        .map(|(edge, start, end)| format!(r#"{{"leaf":"A","edge":"{edge}","start":"{start}","end":"{end}"}}"#))
        .collect();
    let events = format!(
        r#"{single}
        {{"event":"readings","round":1,"gaps":[{{"between":["A.right","frame"],"readings":[{{"at":"1","gap":"1/64"}}]}}]}}
        {{"event":"plan","round":1,"verdict":"cut","trims":[{}]}}"#,
        trims.join(",")
    );
    let mut bench = Bench::in_shop(settings, &[("left door", &events)]);
    bench.press("\rc");
    bench
}

fn record(bench: &Bench) -> &RecordCut {
    match bench.session.screen() {
        Some(Screen::Record(record)) => record,
        other => panic!("{other:?}\n{}", bench.text()),
    }
}

/// A shop with a fence this long before and behind the blade, and this way of writing lengths.
fn shop(before: i64, behind: i64, show: Show) -> Settings {
    let mut settings = Settings { name: "a shop".to_owned(), show, ..Settings::default() };
    settings.saws[0].fence_before = Length::ratio(before, 1);
    settings.saws[0].fence_behind = Length::ratio(behind, 1);
    settings
}

/// Runs of what a number is written with.
fn numbers(text: &str) -> BTreeSet<String> {
    let is_part = |letter: char| letter.is_ascii_digit() || "./".contains(letter);
    let runs = text.split(|letter: char| !is_part(letter)).map(|run| run.trim_matches('.'));
    runs.filter(|run| run.contains(|letter: char| letter.is_ascii_digit())).map(str::to_owned).collect()
}

/// Whole numbers with their fraction (`10 15/16`).
fn mixed(text: &str) -> Vec<String> {
    let words: Vec<&str> = text.split([' ', '\u{a0}']).collect();
    let pairs = words.windows(2).filter_map(|pair| {
        let whole = pair[0].trim_start_matches('(');
        let part = pair[1].trim_end_matches(|letter: char| !letter.is_ascii_digit());
        let is_whole = !whole.is_empty() && whole.chars().all(|letter| letter.is_ascii_digit());
        let is_part = part.contains('/') && part.chars().all(|letter| letter.is_ascii_digit() || letter == '/');
        (is_whole && is_part).then(|| format!("{whole} {part}"))
    });
    pairs.collect()
}

fn is_braille(letter: char) -> bool {
    ('\u{2801}'..='\u{28ff}').contains(&letter)
}

/// What is wrong with the sheet on a screen of that size.
fn faults(bench: &Bench, size: (u16, u16)) -> Vec<String> {
    let record = record(bench);
    let show = bench.session.shop.show();
    let sheet = record.sheet.as_ref().expect("a sheet");
    let text = screen_bench::text(&bench.buffer(size, Palette::Plain));
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let on_screen = numbers(&text);
    let mut faults = Vec::new();
    let mut want = |seen: bool, what: String| faults.extend((!seen).then_some(what));
    want(!text.contains(".."), "something is cut off".to_owned());
    want(text.chars().filter(|letter| is_braille(*letter)).count() >= 20, "no drawing".to_owned());
    want(text.contains("drawn ") || text.contains("to scale"), "no exaggeration stated".to_owned());
    // All figures stand large; on a small screen with very much to say (passes, a refusal with its reason, a pile
    // of pads, many strokes) at least the first.
    let crowded = size.1 < 40
        && (sheet.pass.is_some()
            || text.contains("the advice differs")
            || text.contains("REFUSED")
            || sheet_facts::facts(sheet, show, false).iter().map(String::len).sum::<usize>() > 390);
    for (place, (label, _)) in sheet_words::figures(sheet, show).into_iter().enumerate() {
        want(flat.contains(&label) || (crowded && place > 0), format!("'{label}' is not large"));
    }
    for caution in &sheet.sheet.cautions {
        let said = flat.contains(caution.short_for(show.unit())) || flat.contains(caution.text());
        want(said, format!("no caution '{}'", caution.short()));
    }
    // One of the two ways of saying the facts, every number of it, mixed numbers in one row.
    let missing = |facts: &[String]| -> Vec<String> {
        let whole = facts.join(" ");
        let lost = numbers(&whole).into_iter().filter(|number| !on_screen.contains(number));
        lost.chain(mixed(&whole).into_iter().filter(|number| !text.contains(number.as_str()))).collect()
    };
    let [long, tight] = [false, true].map(|tight| sheet_facts::facts(sheet, show, tight));
    let lost = missing(&long);
    if !lost.is_empty() && !missing(&tight).is_empty() {
        want(false, format!("not whole on the screen: {lost:?}"));
    }
    // No number that nobody said: two that run together, or a part of one.
    let captions = (1..=1000).filter(|k| [1, 2, 5, 10, 20, 40, 80, 160, 320, 640, 1000].contains(k));
    let cautions = sheet.sheet.cautions.iter().map(|caution| caution.text().to_owned());
    let mut said = numbers(&[long.join(" "), tight.join(" ")].join(" "));
    said.extend(cautions.chain([bar(&text)]).flat_map(|text| numbers(&text)));
    said.extend(sheet_words::whole(sheet, show).iter().flat_map(|line| numbers(line)));
    said.extend(numbers(&sheet_words::headline(sheet, (record.at, record.jobs.len()), 200, show)));
    said.extend(captions.map(|k: u32| k.to_string()).chain(["0".to_owned()]));
    let strange: Vec<_> = on_screen.difference(&said).collect();
    want(strange.is_empty(), format!("merged or broken: {strange:?}"));
    for words in drawn(sheet, show) {
        let seen = words.iter().any(|word| text.contains(word.as_str()));
        want(seen, format!("not on the drawing: {words:?}"));
    }
    if faults.is_empty() { faults } else { vec![format!("{size:?} {faults:?}\n{text}")] }
}

/// The head line and the keys.
fn bar(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    format!("{} {}", lines[0], lines[lines.len() - 4..].join(" "))
}

/// What the drawing must name, each in one of these ways.
fn drawn(sheet: &Sheet, show: Show) -> Vec<Vec<String>> {
    let (low, high) = sheet_words::ends(sheet.trim.edge);
    let off = |length: Length| format!("-{}", length.shown_down(show));
    let nothing = |length: Length| !length.shown_down(show).contains(|letter: char| ('1'..='9').contains(&letter));
    let zero = |length: Length| if nothing(length) { vec![" 0".to_owned()] } else { vec![off(length)] };
    let mut all = vec![vec![low.to_owned()], vec![high.to_owned()], zero(sheet.trim.start), zero(sheet.trim.end)];
    let lead = |end: &str| {
        vec![
            format!("{end} leads"),
            "leads ".to_owned(),
            " leads".to_owned(),
            "◄".to_owned(),
            "►".to_owned(),
            "▲ ".to_owned(),
        ]
    };
    let (pads, blade) = match &sheet.sheet.setup {
        Setup::Rip(rip) => {
            all.push(lead(rip.lead.word(sheet.trim.edge)));
            all.push(vec![" fence ".to_owned(), "'s fence ".to_owned(), "'s fence\n".to_owned()]);
            all.push(vec!["kiss".to_owned()]);
            (rip.pads.len(), "blade")
        }
        Setup::Sled(sled) => {
            all.push(lead(sled.at.other().word(sheet.trim.edge)));
            all.push(vec![" fence ".to_owned(), "'s fence ".to_owned(), "'s fence\n".to_owned()]);
            (sled.pads.len(), "blade")
        }
        _ => (0, "line"),
    };
    all.push(vec![blade.to_owned()]);
    match pads {
        0 => {}
        1 => all.push(vec!["▲".to_owned()]),
        _ => all.extend(
            (1..=pads).map(|pad| vec![format!("▲{pad}"), format!("▲ {pad}:"), format!(" {pad} "), format!(" {pad}\n")]),
        ),
    }
    all
}

/// Goes through all methods and all trims at all sizes.
fn look_through(bench: &mut Bench, met: &mut Met) -> Vec<String> {
    let mut all = Vec::new();
    for _ in 0..record(bench).jobs.len() {
        for _ in 0..=Method::ALL.len() {
            let Some(sheet) = record(bench).sheet.clone() else { break };
            met.see(&sheet);
            for size in SIZES {
                all.extend(faults(bench, size));
            }
            bench.press("m");
        }
        bench.key(ratatui::crossterm::event::KeyCode::Down, ratatui::crossterm::event::KeyModifiers::NONE);
    }
    all
}

#[derive(Default)]
struct Met {
    pads: BTreeSet<usize>,
    methods: BTreeSet<&'static str>,
    most_strokes: usize,
    passes: usize,
    sheets: usize,
}

impl Met {
    fn see(&mut self, sheet: &Sheet) {
        self.sheets += 1;
        self.methods.insert(sheet.sheet.setup.method().word());
        self.passes += usize::from(sheet.pass.is_some());
        match &sheet.sheet.setup {
            Setup::Rip(rip) => {
                self.pads.insert(rip.pads.len());
            }
            Setup::Plane(planing) => self.most_strokes = self.most_strokes.max(planing.stopped.len()),
            _ => {}
        }
    }
}

/// Large screens show every sheet whole. At 80x24 a few of the most crowded (four pads and more, sixty strokes and
/// more, with the hint that the advice differs) have a smaller drawing or a figure among the facts only; no more of
/// them than these.
fn report(all: &[String], sheets: usize) {
    let text = || all.iter().take(12).cloned().collect::<Vec<_>>().join("\n");
    assert!(all.iter().all(|one| one.starts_with("(80, 24)")), "{}", text());
    let most = 1 + sheets * MOST_CROWDED / 100;
    assert!(all.len() <= most, "{} of {sheets} sheets with faults, {most} may be\n{}", all.len(), text());
}

/// Share of the sheets that may be too crowded for 80x24, in per cent.
const MOST_CROWDED: usize = 3;

const INCH: Show = Show::Fraction(64);

#[test]
fn every_sheet_of_an_inch_shop_is_whole() {
    let (mut all, mut met) = (Vec::new(), Met::default());
    for size in [("11", "26"), ("14", "40"), ("3", "26"), ("24", "6"), ("17 7/8", "23 15/16"), ("6 1/2", "9")] {
        for trims in [
            &[("right", "1/32", "3/32"), ("top", "1/16", "1/32")][..],
            &[("left", "1/64", "1/32"), ("bottom", "0.001", "0.003")],
            &[("right", "5/64", "0"), ("top", "1/32", "5/64")],
            &[("bottom", "0", "1/16"), ("left", "1/32", "1/32")],
        ] {
            all.extend(look_through(&mut bench(shop(16, 14, INCH), size, trims), &mut met));
        }
    }
    report(&all, met.sheets);
    for method in Method::ALL {
        assert!(met.methods.contains(method.word()), "never met {method:?}");
    }
    assert!(met.sheets > 150, "{}", met.sheets);
}

#[test]
fn every_sheet_with_one_to_many_pads_is_whole() {
    let (mut all, mut met) = (Vec::new(), Met::default());
    for (before, behind) in [(40, 40), (16, 14), (14, 12), (10, 8), (8, 6), (6, 5)] {
        for (size, end) in
            [(("11", "26"), "3/32"), (("14", "40"), "5/64"), (("12", "24"), "7/64"), (("16", "32"), "3/32")]
        {
            let trims = [("right", "1/32", end), ("left", end, "1/32")];
            all.extend(look_through(&mut bench(shop(before, behind, INCH), size, &trims), &mut met));
        }
    }
    report(&all, met.sheets);
    assert!([1, 2, 3, 4, 5].iter().all(|pads| met.pads.contains(pads)), "{:?}", met.pads);
}

#[test]
fn every_sheet_of_a_metric_and_of_a_decimal_shop_is_whole() {
    let (mut all, mut met) = (Vec::new(), Met::default());
    for show in [Show::Millimetre(1), Show::Millimetre(2), Show::DecimalInch(3)] {
        for (size, before, behind) in
            [(("300mm", "720mm"), 16, 14), (("450mm", "1000mm"), 12, 10), (("596mm", "140mm"), 30, 25)]
        {
            let mut settings = shop(before, behind, show);
            settings.stock.truncate(2);
            settings.stock.push(ShimStock {
                name: "birch veneer".to_owned(),
                thickness: Length::ratio(6, 254),
                measured: Measured::Single,
            });
            let trims = [("right", "0.8mm", "2.4mm"), ("top", "1.1mm", "0.4mm"), ("left", "0.02mm", "0.06mm")];
            all.extend(look_through(&mut bench(settings, size, &trims), &mut met));
        }
    }
    report(&all, met.sheets);
    assert!(met.sheets > 80, "{}", met.sheets);
}

#[test]
fn every_pass_of_a_deep_cut_is_whole() {
    let (mut all, mut met) = (Vec::new(), Met::default());
    for (show, size) in [(INCH, ("11", "26")), (INCH, ("14", "40")), (Show::Millimetre(1), ("300mm", "720mm"))] {
        let mut bench = bench(shop(40, 40, show), size, &[("right", "3/16", "5/16"), ("top", "1/8", "1/4")]);
        while matches!(bench.session.screen(), Some(Screen::Record(_))) {
            let sheet = record(&bench).sheet.clone().unwrap();
            met.see(&sheet);
            for size in SIZES {
                all.extend(faults(&bench, size));
            }
            bench.press("d");
        }
    }
    report(&all, met.sheets);
    assert!(met.passes > 6, "{}", met.passes);
}

#[test]
fn a_plane_with_any_number_of_strokes_is_drawn_with_every_start() {
    let (mut all, mut met) = (Vec::new(), Met::default());
    for show in [INCH, Show::DecimalInch(3), Show::Millimetre(1)] {
        for (edge, end) in
            [("right", "1/32"), ("top", "1/32"), ("right", "0.063"), ("right", "0.090"), ("top", "0.118")]
        {
            let mut settings = shop(16, 14, show);
            settings.ranking = vec![Method::Plane];
            let mut bench = bench(settings, ("17", "26"), &[(edge, "0", end)]);
            for _ in 0..=Method::ALL.len() {
                if record(&bench).asked.method == Some(Method::Plane) {
                    break;
                }
                bench.press("m");
            }
            let sheet = record(&bench).sheet.clone().unwrap();
            let Setup::Plane(planing) = &sheet.sheet.setup else { panic!("{edge} {end}: {:?}", sheet.sheet.setup) };
            met.see(&sheet);
            for size in SIZES {
                all.extend(faults(&bench, size));
                let text = screen_bench::text(&bench.buffer(size, Palette::Plain));
                let wanted: Vec<f64> = planing.stopped.iter().map(|stroke| stroke.mark.inches()).collect();
                let starts = starts(&text, wanted.len(), show);
                // Many starts are told to the hundredth.
                let near = |a: &f64, b: &f64| (a - b).abs() < 0.0051;
                let read = starts.len() == wanted.len() && starts.iter().zip(&wanted).all(|(a, b)| near(a, b));
                let told = |stroke: &StoppedStroke| text.contains(&sheet_words::exact(stroke.mark, show));
                let same = read || (size.1 >= 40 && planing.stopped.iter().all(told));
                if !same {
                    all.push(format!("{size:?}: {wanted:?} read as {starts:?} on\n{text}"));
                }
            }
        }
    }
    report(&all, met.sheets);
    assert!(met.most_strokes > 100, "{}", met.most_strokes);
}

/// The starts as somebody reads them off the screen, in inches: at whole inches and parts, or one by one.
fn starts(text: &str, count: usize, show: Show) -> Vec<f64> {
    // The words stand at the right of the drawing, or across the screen: the drawing is taken away.
    let words: Vec<String> = text
        .lines()
        .skip(1)
        .map(|line| {
            let last = line.chars().rev().position(|letter| is_braille(letter) || "█▄▀▟▙▜▛▐▌▘▝▖▗".contains(letter));
            let letters: Vec<char> = line.chars().collect();
            let from = last.map_or(0, |last| letters.len() - last);
            let line: String = letters.get(from..).unwrap_or_default().iter().collect();
            // So is its scale, and what stands in its margin.
            if line.trim_start().starts_with("wood drawn ") {
                return line.trim_start().split_once("  ").map_or_else(String::new, |(_, rest)| rest.to_owned());
            }
            let margin = ["-", "0 ", "upper", "lower", "left", "right", "line"];
            if from > 0 && margin.iter().any(|word| line.trim_start().starts_with(word)) {
                line.trim_start().split_once("  ").map_or_else(String::new, |(_, rest)| rest.to_owned())
            } else {
                line
            }
        })
        .collect();
    let all = words.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
    let Some((_, list)) = all.split_once("stopped strokes starting from") else { return Vec::new() };
    let Some((_, list)) = list.split_once(" at ") else { return Vec::new() };
    let list = list.trim_start();
    let (grouped, list) = match list.strip_prefix('(').and_then(|list| list.split_once(") ")) {
        Some((how, list)) => (how.contains('+'), list),
        None => (false, list),
    };
    let value = |text: &str| -> Option<f64> {
        let text = text.trim_end_matches([',', ';']).trim_end_matches("mm");
        match text.split_once('/') {
            Some((a, b)) => Some(a.parse::<f64>().ok()? / b.parse::<f64>().ok()?),
            None => text.parse().ok(),
        }
    };
    let scale = if matches!(show, Show::Millimetre(_)) { 25.4 } else { 1.0 };
    let mut starts = Vec::new();
    let mut whole = 0.0;
    let mut half: Option<f64> = None;
    for word in list.split_whitespace() {
        if starts.len() == count {
            break;
        }
        if let Some(inches) = word.strip_suffix('+').and_then(|word| word.parse::<f64>().ok()) {
            whole = inches;
            continue;
        }
        let Some(number) = value(word) else { continue };
        let ends = word.ends_with(',');
        if grouped {
            starts.push(whole + number);
        } else if ends || word.contains('/') {
            starts.push((half.take().unwrap_or(0.0) + number) / scale);
        } else if starts.len() + 1 == count && !matches!(show, Show::Fraction(_)) {
            starts.push(number / scale);
        } else {
            half = Some(number);
        }
    }
    // The last may be a whole number.
    starts.extend(half.filter(|_| starts.len() + 1 == count));
    starts
}
