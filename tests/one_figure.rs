//! One figure for one thing: list, opening, plan, card, shop sheet, practice and commands say a miss, a reading and an
//! amount of wood alike; each in the shop's own unit.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::batch::words as batch_words;
use evenreveal::bench::batch::{Undecided, undecided};
use evenreveal::bench::gap_words;
use evenreveal::bench::practice::outcome::Outcome;
use evenreveal::bench::practice::{Ended, words as practice_words};
use evenreveal::bench::{Screen, rounds};
use evenreveal::cut::words::Caution;
use evenreveal::fit::length::{Length, Show, Unit};
use evenreveal::paper::matter::Matter;
use evenreveal::paper::{card, sheet};
use evenreveal::screen::picture::{self, Measure};
use evenreveal::screen::theme::Theme;
use evenreveal::shop::settings::Settings;
use program::Home;
use screen_bench::{Bench, SINGLE};

/// Feelers that go at the twelve stations of the single door; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn read() -> Bench {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}\u{1b}"));
    bench
}

fn said(page: &evenreveal::paper::page::Page) -> String {
    page.texts().map(|words| words.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// "Tight by 1/16" stood on the list, "3/64 off now" on the plan of the same readings.
#[test]
fn the_worst_gap_is_one_figure_wherever_it_stands() {
    let mut bench = read();
    let settings = bench.session.shop.settings.clone();
    let opened = bench.session.opened.clone().unwrap();
    let worst = opened.worst(1).unwrap();
    let miss = gap_words::miss(worst.miss, settings.tolerance, settings.show);
    // Feelers in 64ths end on half steps, always.
    assert!((worst.miss.0 * 64.0).fract().abs() > 0.4, "{worst:?}");
    assert!(flat(&bench.text()).contains(&format!("round 1: worst {miss}.")), "{miss}:\n{}", bench.text());
    bench.press("p");
    assert!(flat(&bench.text()).contains(&format!("now {miss}, after ")), "{miss}:\n{}", bench.text());
    let matter = Matter::of(&opened, &settings, rounds::spreads(None));
    let printed = said(&card::card(&matter));
    assert!(printed.contains(&format!("worst gap now {miss}, after ")), "{printed}");
    assert!(printed.contains(&format!("worst {miss}")), "{printed}");
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    home.run(&["--shop", shop, "plan", "left door"], "").code(0).gives(&[&format!("worst gap now {miss}, after ")]);
    bench.press("\u{1b}\u{1b}");
    assert!(flat(&bench.text()).contains(&miss), "the list: {miss}\n{}", bench.text());
}

/// "3/64+" on the opening became "1/16" on its plan.
#[test]
fn a_reading_is_labelled_alike_on_the_opening_and_on_its_plan() {
    let mut bench = read();
    bench.press("p");
    let opened = bench.session.opened.as_ref().unwrap();
    let measure = Measure::of(opened, &bench.session.shop.settings);
    let Some(Screen::Plan(plan)) = bench.session.screen() else { panic!("{}", bench.text()) };
    let label = |picture: evenreveal::screen::drawings::OpeningPicture| {
        let mut all: Vec<_> = picture
            .stations
            .into_iter()
            .filter(|station| station.gap.is_some())
            .map(|station| (station.edge.word(), (station.at * 4.0).round() as i64, station.shown, station.standing))
            .collect();
        all.sort_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)));
        all
    };
    let read = label(picture::opening(opened, 1, measure, None, Theme::default()));
    let now = label(picture::forecast(opened, 1, plan.plan().unwrap(), false, measure, Theme::default()));
    assert_eq!(read.len(), 12);
    assert_eq!(read, now);
    assert!(read.iter().all(|(.., shown, _)| shown.ends_with('+')), "{read:?}");
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    let told = home.run(&["--shop", shop, "plan", "left door"], "").code(0).out;
    let line = told.lines().find(|line| line.starts_with("gap frame - A.left")).unwrap();
    assert!(line.contains("1 along: 3/64+ -> "), "station, reading and what comes are told apart: {line}");
}

/// The sheet rounded up what plan, card and log say, proposed what was to be read again first, and had no caution.
#[test]
fn the_shop_sheet_has_the_accepted_amounts_and_the_cautions_and_no_others() {
    let mut bench = read();
    let settings = bench.session.shop.settings.clone();
    let pages = |bench: &Bench| {
        let opened = bench.session.opened.clone().unwrap();
        let matter = Matter::of(&opened, &settings, rounds::spreads(None));
        let trims = matter.trims();
        let parts = evenreveal::bench::prepare::cutting::shop_list(&[], settings.show);
        (sheet::sheet(&settings, std::slice::from_ref(&matter), &[], &parts), trims)
    };
    let (before, proposed) = pages(&bench);
    assert!(!proposed.is_empty(), "the plan proposes cuts");
    let words = said(&before[0]);
    assert!(words.contains("again"), "it is to be read again first: {words}");
    assert!(!words.contains("A left (") && !words.contains("A top ("), "nothing proposed under that: {words}");
    bench.press("pa\u{1b}");
    let (after, trims) = pages(&bench);
    for page in &after {
        let words = said(page);
        for caution in Caution::WHEREVER_CUT {
            assert!(words.contains(caution.short()), "no '{}' in {words}", caution.short());
        }
    }
    let words = after.iter().map(said).collect::<Vec<_>>().join(" ");
    assert!(!trims.is_empty());
    for trim in trims {
        let wanted = evenreveal::bench::words::trim(&trim, settings.show);
        assert!(words.contains(&wanted), "no '{wanted}' in {words}");
        let log = evenreveal::bench::words::trim(&trim, settings.show);
        assert_eq!(wanted, log);
    }
}

#[test]
fn a_shop_in_millimetres_is_told_in_millimetres() {
    let show = Show::Millimetre(1);
    let settings = Settings { show, ..Settings::default() };
    let four = SINGLE.replace("3/32", "2.4mm");
    let mut bench = Bench::in_shop(settings, &[("left door", &four)]);
    bench.press("\rr");
    bench.walk_as(|station| if station.gap == 1 { "1.2mm".to_owned() } else { "2.37mm".to_owned() });
    bench.press("\u{1b}\u{1b}\u{1b}\r");
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    let told = home.run(&["--shop", shop, "plan", "left door"], "").code(0).out;
    assert!(told.contains("25mm along: "), "a station to the whole millimetre: {told}");
    for bad in ["mm -0.", "mm +0.", "0.0mm", "25.4mm along"] {
        assert!(!told.contains(bad), "'{bad}' in {told}");
    }
    bench.press("p");
    let text = bench.text();
    assert!(text.contains("last 300 mm") && !text.contains("12 in"), "{text}");
    assert!(!text.contains("within 0.0mm"), "{text}");
    let wood = evenreveal::before::blank::cut_list::Wood { board_feet: 4.25, square_metres: 0.5 };
    assert_eq!(wood.words(Unit::Inch), "4.25 board feet, net");
    assert_eq!(wood.words(Unit::Millimetre), "0.500 m² of face, net");
}

/// Openings that the list would have read again are no plans to be accepted.
#[test]
fn the_batch_says_of_the_other_openings_what_the_list_says() {
    let bench = read();
    let opened = bench.session.opened.clone().unwrap();
    let brief = bench.session.advised.brief(&opened).unwrap();
    assert_eq!(brief.thing.word(), "read");
    let mut bench = bench;
    bench.press("\u{1b}");
    let summary = &bench.session.shop.openings[0].summary;
    let found = undecided([(summary, Some(&brief)), (summary, None)].into_iter());
    assert_eq!(found, Undecided { read: 1, accept: 1 });
    let said = batch_words::undecided(Undecided { read: 3, accept: 0 }).unwrap();
    assert!(said.contains("3 have stations to be read again first") && !said.contains("accepted"), "{said}");
    assert_eq!(batch_words::undecided(Undecided::default()), None);
    bench.press("b");
    assert!(flat(&bench.text()).contains("1 has stations to be read again first"), "{}", bench.text());
}

/// Stopping before it is sure is no better fitting: "2 rounds fewer than the advice needed".
#[test]
fn fewer_rounds_than_the_advice_are_said_for_what_they_are() {
    let yours = Outcome { rounds: 4, fits: true, right_after: Some(3), ..Outcome::default() };
    let tools = Outcome { rounds: 6, fits: true, right_after: Some(3), ..Outcome::default() };
    let said = practice_words::compared(&Ended { of: (1, 1), yours, tools }, Show::Fraction(64)).join(" ");
    assert!(!said.contains("fewer than the advice needed"), "{said}");
    assert!(said.contains("stopped before the feelers could be sure of it; the advice took 6 rounds"), "{said}");
    assert!(said.contains("Its gaps were true after round 3, too."), "{said}");
}

#[test]
fn a_made_up_door_is_never_for_reading_only() {
    let mut bench = Bench::new();
    bench.session.shop.read_only = Some("another program has it open".to_owned());
    assert!(bench.text().contains("READING ONLY") && bench.text().contains("for reading only"), "{}", bench.text());
    let seed = evenreveal::bench::Message::Practice(evenreveal::bench::practice::Answer::Seed(4711));
    evenreveal::shell::deal(seed, &mut bench.session, &mut bench.runner);
    bench.session.said = None;
    let text = bench.text();
    assert!(text.contains("PRACTICE") && !text.contains("reading only"), "{text}");
}

/// Nobody knows in which folder the program was started.
#[test]
fn a_printed_page_is_said_with_its_whole_path() {
    let mut bench = Bench::new();
    bench.press("o");
    bench.press(&"\u{8}".repeat(40));
    bench.press("target/said.svg\r");
    let said = bench.session.said.as_ref().unwrap().text.clone();
    let whole = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/said.svg");
    assert!(said.contains(&*whole.to_string_lossy()), "{said}");
    assert!(whole.exists());
}

#[test]
fn half_a_step_is_never_shown_as_no_miss() {
    let tolerance = Length::ratio(1, 64);
    let miss = evenreveal::fit::length::Inches(0.5 / 64.0);
    assert_eq!(gap_words::miss(miss, tolerance, Show::Fraction(64)), "right, within 1/64");
}
