//! The printed pages: laid out without anything over anything, rendered to pictures that are looked at
//! (`target/paper/*.png`), and held to what must stand on them.

use evenreveal::bench::OpeningSeen;
use evenreveal::bench::prepare::cutting::{self, ShopList};
use evenreveal::cut::words::Caution;
use evenreveal::fit::length::Show;
use evenreveal::paper::matter::Matter;
use evenreveal::paper::page::{Item, Page, Words};
use evenreveal::paper::print::{self, Format};
use evenreveal::paper::{card, drawing, font, sheet, vector};
use evenreveal::shell::runner::see;
use evenreveal::shop::event::{Event, Note};
use evenreveal::shop::settings::Settings;
use evenreveal::shop::{Access, Holder, Shop};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb::Database};
use std::path::Path;
use std::sync::Arc;

const AT: &str = "2026-03-02T14:05:11Z";

fn spreads() -> evenreveal::fit::estimate::Spreads {
    evenreveal::bench::rounds::spreads(None)
}

fn sample() -> Shop {
    Shop::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-shop"), &Access::Look).unwrap()
}

fn seen(shop: &Shop, name: &str) -> OpeningSeen {
    see(&shop.opening(name).unwrap())
}

fn tree(page: &Page) -> Tree {
    let mut fonts = Database::new();
    fonts.load_font_data(font::BYTES.to_vec());
    let options = Options { fontdb: Arc::new(fonts), ..Options::default() };
    Tree::from_str(&vector::svg(page), &options).unwrap()
}

/// The page as a picture, two dots to the point; kept in `target/paper` to be looked at.
fn picture(page: &Page, name: &str) -> Pixmap {
    let tree = tree(page);
    let mut pixmap = Pixmap::new(page.width as u32 * 2, page.height as u32 * 2).unwrap();
    let scale = 2.0 * page.width as f32 / tree.size().width();
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/paper");
    std::fs::create_dir_all(&dir).unwrap();
    pixmap.save_png(dir.join(format!("{name}.png"))).unwrap();
    pixmap
}

/// Everything lies on the page, texts within its margins, and no text meets another.
fn is_well_laid_out(page: &Page) {
    let texts: Vec<&Words> = page.texts().collect();
    let inside = page.inside().within(-2.0);
    for words in &texts {
        assert!(inside.holds(words.room()), "'{}' leaves the page: {:?}", words.text, words.room());
        assert!(words.size >= 3.5, "'{}' is too small to read", words.text);
    }
    for (place, words) in texts.iter().enumerate() {
        for other in &texts[place + 1..] {
            // Lines of a paragraph may touch, not meet.
            let room = words.room().within(0.4);
            assert!(!room.meets(other.room().within(0.4)), "'{}' lies on '{}'", words.text, other.text);
        }
    }
    for item in &page.items {
        let spots = match item {
            Item::Words(_) => Vec::new(),
            Item::Line { from, to, .. } => vec![*from, *to],
            Item::Shape { corners, .. } => corners.clone(),
        };
        for spot in spots {
            assert!((0.0..=page.width).contains(&spot.x) && (0.0..=page.height).contains(&spot.y), "{item:?}");
        }
    }
}

fn said(page: &Page) -> String {
    page.texts().map(|words| words.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// Does any ink lie in the room of every text?
fn every_text_is_printed(page: &Page, pixmap: &Pixmap) {
    for words in page.texts().filter(|words| !words.text.trim().is_empty()) {
        let room = words.room();
        let dark = ((room.top * 2.0) as u32..(room.bottom * 2.0) as u32).any(|y| {
            ((room.left * 2.0) as u32..(room.right * 2.0) as u32)
                .any(|x| pixmap.pixel(x, y).is_some_and(|pixel| pixel.red() < 200 || pixel.blue() < 200))
        });
        assert!(dark, "'{}' is not printed", words.text);
    }
}

#[test]
fn every_opening_of_the_sample_has_its_card() {
    let shop = sample();
    for (number, listed) in shop.list().unwrap().iter().enumerate() {
        let seen = seen(&shop, &listed.name);
        let matter = Matter::of(&seen, shop.settings(), spreads());
        let page = card::card(&matter);
        let pixmap = picture(&page, &format!("card-{number}"));
        is_well_laid_out(&page);
        every_text_is_printed(&page, &pixmap);
        let said = said(&page);
        for wanted in [listed.name.as_str(), "THIS SIDE OUT", "THIS END UP", "What was done", "HINGE", "up"] {
            assert!(said.contains(wanted), "{}: no '{wanted}' in: {said}", listed.name);
        }
        for trim in matter.trims() {
            for amount in [trim.start, trim.end] {
                let shown = format!("off {}", amount.shown_down(shop.settings().show));
                assert!(said.contains(&shown), "{}: no '{shown}' on the picture", listed.name);
            }
        }
        if !matter.trims().is_empty() {
            let letters: String = said.split_whitespace().collect();
            for sheet in matter.setups.iter().flatten() {
                for caution in &sheet.sheet.cautions {
                    let wanted: String = caution.text().split_whitespace().collect();
                    assert!(letters.contains(&wanted), "{}: caution left out: {}", listed.name, caution.text());
                }
            }
        }
    }
}

#[test]
fn a_station_of_the_picture_carries_its_gap_and_the_picture_keeps_its_proportions() {
    let shop = sample();
    let seen = seen(&shop, "Pair below");
    let matter = Matter::of(&seen, shop.settings(), spreads());
    let (_, plan) = matter.looked().unwrap();
    let measure = evenreveal::screen::picture::Measure::of(&seen, shop.settings());
    let theme = evenreveal::screen::theme::Theme::default();
    let picture = evenreveal::screen::picture::forecast(&seen, 1, plan, false, measure, theme);
    for (width, height) in [(330.0, 330.0), (500.0, 200.0), (160.0, 400.0)] {
        let mut page = Page::new("a picture", Show::Fraction(64));
        let area = evenreveal::paper::page::Frame { left: 40.0, top: 40.0, right: 40.0 + width, bottom: 40.0 + height };
        let drawn = drawing::draw(&mut page, &picture, area, 9.0).unwrap();
        let ratio = drawn.opening.width() / drawn.opening.height();
        assert!((ratio - picture.width / picture.height).abs() < 1e-9, "{ratio}");
        assert!(area.holds(drawn.opening));
        is_well_laid_out(&page);
        if width > 300.0 && height > 300.0 {
            assert_eq!(drawn.left_out, 0, "labels left out");
            let labelled =
                page.texts().filter(|words| ["><", "==", "<>"].iter().any(|m| words.text.ends_with(m))).count();
            assert_eq!(labelled, picture.stations.len());
        }
    }
}

#[test]
fn widths_are_those_the_page_is_rendered_with() {
    for text in ["Left door, kitchen: 23 27/64 x 7", "Größe ½ Türchen ▲ ×", "fence 1/128 pad 3x at 22 1/2"] {
        let mut page = Page::new("widths", Show::Fraction(64));
        let spot = evenreveal::paper::page::at(50.0, 100.0);
        page.words(Words {
            spot,
            size: 20.0,
            bold: false,
            anchor: evenreveal::paper::page::Anchor::Start,
            ink: evenreveal::paper::page::Ink::Black,
            text: text.to_owned(),
        });
        let tree = tree(&page);
        let node = tree.root().children().iter().find_map(|node| match node {
            resvg::usvg::Node::Text(text) => Some(text.bounding_box().width()),
            resvg::usvg::Node::Group(group) => group.children().iter().find_map(|node| match node {
                resvg::usvg::Node::Text(text) => Some(text.bounding_box().width()),
                _ => None,
            }),
            _ => None,
        });
        // The box of a text is in the page's own units and has the advances in it.
        let rendered = f64::from(node.unwrap());
        let ours = font::width(text, 20.0);
        assert!((ours - rendered).abs() < 0.3, "{text}: {ours} against {rendered}");
    }
}

#[test]
fn a_long_history_and_long_names_still_make_one_page() {
    let dir = tempfile::tempdir().unwrap();
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() };
    let mut shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
    let name =
        "The very long name of a door that somebody wrote down in full, with the room, the wall & the <shelf> 門";
    shop.save_settings(Settings { name: "W".repeat(90), show: Show::Millimetre(1), ..Settings::default() }).unwrap();
    let original = seen(&sample(), "Pair below");
    let mut events: Vec<Event> = original.records.iter().map(|record| record.event.clone()).collect();
    for number in 0..120 {
        events.push(Event::Note(Note {
            text: format!("note {number}: {}", "wax the runners ".repeat(4)),
            photo: format!("IMG_{number}.jpg"),
        }));
    }
    shop.create_opening(name).unwrap().enter(events, AT).unwrap();
    let seen = seen(&shop, name);
    let matter = Matter::of(&seen, shop.settings(), spreads());
    let page = card::card(&matter);
    let pixmap = picture(&page, "card-long");
    is_well_laid_out(&page);
    every_text_is_printed(&page, &pixmap);
    let said = said(&page);
    assert!(said.contains("see the log") && said.contains("note 119") && said.contains("IMG_119.jpg"), "{said}");
    assert!(said.contains("<shelf> ?"), "a letter that the font lacks is shown as missing");
    assert!(said.contains("? in its name"), "and that it is, is said");
    let svg = vector::svg(&page);
    let title = svg.split("</title>").next().unwrap();
    assert!(title.contains("&lt;shelf&gt; 門"), "a title is not drawn and keeps it: {title}");
    assert!((page.width, page.height) == (595.0, 842.0), "millimetres go with A4");
    for caution in [Caution::ManualComesFirst, Caution::LookAgain] {
        let letters: String = said.split_whitespace().collect();
        assert!(letters.contains(&caution.text().split_whitespace().collect::<String>()));
    }
}

#[test]
fn the_card_of_a_short_leaf_says_what_the_plan_says_would_help() {
    let shop = sample();
    let seen = seen(&shop, "Door, top right");
    let matter = Matter::of(&seen, shop.settings(), spreads());
    let (look, plan) = matter.looked().unwrap();
    assert!(!plan.strips.is_empty(), "a strip would help");
    let helps = evenreveal::bench::short_words::what_helps(&look.problem, plan, shop.settings().show);
    assert!(helps.iter().any(|line| line.starts_with("Or glue a strip of ")), "{helps:?}");
    let said: String = said(&card::card(&matter)).split_whitespace().collect();
    for line in helps {
        assert!(said.contains(&line.split_whitespace().collect::<String>()), "no '{line}' in {said}");
    }
}

#[test]
fn the_pdf_is_one_page_of_the_right_size_with_letters_in_it() {
    let shop = sample();
    let seen = seen(&shop, "Drawers");
    let page = card::card(&Matter::of(&seen, shop.settings(), spreads()));
    let pdf = print::bytes(&page, Format::Pdf).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    let text = String::from_utf8_lossy(&pdf);
    assert_eq!(text.matches("/Type /Page\n").count() + text.matches("/Type/Page/").count(), 1, "one page");
    assert!(text.contains("/MediaBox [0 0 612 792]") || text.contains("/MediaBox[0 0 612 792]"), "letter size");
    assert!(text.contains("DejaVuSans"), "the font is in it");
    assert_eq!(print::bytes(&page, Format::Pdf).unwrap(), pdf, "equal pages, equal bytes");
    assert_eq!(Format::of("X.PDF"), Ok(Format::Pdf));
    assert!(Format::of("card.doc").unwrap_err().to_string().contains(".svg or .pdf"));
}

#[test]
fn the_shop_sheet_has_every_opening_once_on_as_many_pages_as_it_takes() {
    let shop = sample();
    let seen: Vec<OpeningSeen> = shop.list().unwrap().iter().map(|listed| seen(&shop, &listed.name)).collect();
    let matters: Vec<Matter<'_>> = seen.iter().map(|seen| Matter::of(seen, shop.settings(), spreads())).collect();
    let none = ShopList::default();
    let pages = sheet::sheet(shop.settings(), &matters, &[("Lost".to_owned(), "line 3 is damaged".to_owned())], &none);
    assert_eq!(pages.len(), 1);
    picture(&pages[0], "sheet");
    is_well_laid_out(&pages[0]);
    let text = said(&pages[0]);
    for wanted in ["Pair below", "Drawers", "Lost", "line 3 is damaged", "7 openings", "page 1 of 1"] {
        assert!(text.contains(wanted), "no '{wanted}' in: {text}");
    }
    let mut many: Vec<OpeningSeen> = Vec::new();
    for number in 0..100 {
        many.push(OpeningSeen { name: format!("door no {number}."), ..seen[number % seen.len()].clone() });
    }
    let matters: Vec<Matter<'_>> = many.iter().map(|seen| Matter::of(seen, shop.settings(), spreads())).collect();
    let pages = sheet::sheet(shop.settings(), &matters, &[], &none);
    assert!(pages.len() > 2, "{} pages", pages.len());
    pages.iter().for_each(is_well_laid_out);
    picture(&pages[1], "sheet-page-2");
    let whole: String = pages.iter().map(said).collect();
    for number in 0..100 {
        assert_eq!(whole.matches(&format!("door no {number}.")).count(), 1, "door {number}");
    }
    assert_eq!(sheet::sheet(shop.settings(), &[], &[], &none).len(), 1, "an empty shop has a page, too");
}

/// A survey of 11 3/16 x 26 3/16 less 3/32 each way: finished 11 x 26, so each part's size is known beforehand.
const MADE_HERE: &str = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}],"leaves":[{"leaf":"A","name":"door","hinge":"left"}]}
{"event":"survey","widths":["11 3/16","11 3/16","11 3/16"],"heights":["26 3/16","26 3/16","26 3/16"]}
{"event":"build","leaf":"A","thickness":"3/4","frame":{"stiles":["2","2"],"rails":["2 1/2","2"],"joint":"stub-tenon","groove":"3/8","float":"1/8","panel_thickness":"1/4"},"species":"Cherry, black","allowance":"1/16","trimmed":["left","right","top"]}"#;

#[test]
fn the_shop_sheet_has_the_cut_list_with_what_is_sawn() {
    let dir = tempfile::tempdir().unwrap();
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() };
    let mut shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
    shop.save_settings(Settings { name: "Kitchen".to_owned(), ..Settings::default() }).unwrap();
    let events =
        || serde_json::Deserializer::from_str(MADE_HERE).into_iter().map(Result::unwrap).collect::<Vec<Event>>();
    for number in 0..30 {
        let mut events = events();
        if number == 0 {
            let part = r#"{"event":"part","leaf":"A","part":"left-stile","done":true}"#;
            events.push(serde_json::from_str(part).unwrap());
        }
        shop.create_opening(&format!("door no {number}.")).unwrap().enter(events, AT).unwrap();
    }
    let seen: Vec<OpeningSeen> = shop.list().unwrap().iter().map(|listed| seen(&shop, &listed.name)).collect();
    let matters: Vec<Matter<'_>> = seen.iter().map(|seen| Matter::of(seen, shop.settings(), spreads())).collect();
    let list = cutting::shop_list(&shop.all().unwrap(), shop.settings().show);
    let pages = sheet::sheet(shop.settings(), &matters[..1], &[], &list);
    assert!(pages.len() > 1, "{} pages", pages.len());
    for (number, page) in pages.iter().enumerate() {
        let pixmap = picture(page, &format!("sheet-parts-{}", number + 1));
        is_well_laid_out(page);
        every_text_is_printed(page, &pixmap);
    }
    let whole: String = pages.iter().map(said).collect::<Vec<_>>().join(" ");
    for wanted in ["parts to cut", "150 parts, 1 sawn", "board feet", "left stile", "thick"] {
        assert!(whole.contains(wanted), "no '{wanted}' in: {whole}");
    }
    // Every line of the list stands on the pages, once; as many boxes are black as parts are sawn, and white as are not.
    let lines = list.list.groups.iter().map(|group| group.lines.len()).sum::<usize>();
    let boxes = |black: bool| {
        let is = |item: &&Item| matches!(item, Item::Shape { fill, .. } if fill.is_some() == black);
        pages.iter().flat_map(|page| &page.items).filter(is).count()
    };
    assert_eq!((boxes(true), boxes(false)), (1, lines - 1 + 1), "one opening and {lines} lines");
    for line in list.list.groups.iter().flat_map(|group| &group.lines) {
        let sized = format!("{} of {}", line.count, line.length.shown_with_error(shop.settings().show));
        assert!(whole.contains(&sized), "no '{sized}' in: {whole}");
    }
}

/// A plan accepted with even stiles is printed with even stiles: its picture is of the cuts that are still to do.
#[test]
fn the_card_shows_the_plan_that_was_accepted() {
    use evenreveal::bench::sheets;
    use evenreveal::fit::opening::Prefer;
    use evenreveal::fit::plan::Trim;
    let gap = |one: &str, other: &str| format!(r#"{{"between":["{one}","{other}"],"target":"3/32"}}"#);
    let line = |one: &str, other: &str, at: [&str; 2], gaps: [&str; 2]| {
        let at = at.iter().zip(gaps).map(|(at, gap)| format!(r#"{{"at":"{at}","gap":"{gap}"}}"#)).collect::<Vec<_>>();
        format!(r#"{{"between":["{one}","{other}"],"readings":[{}]}}"#, at.join(","))
    };
    let lines = [("frame", "A.left"), ("A.right", "frame"), ("frame", "A.bottom"), ("A.top", "frame")];
    let gaps: Vec<_> = lines.iter().map(|(one, other)| gap(one, other)).collect();
    let (tall, wide) = (["1", "25"], ["1", "10"]);
    let read = [
        line("frame", "A.left", tall, ["1/32", "5/64"]),
        line("A.right", "frame", tall, ["3/64", "1/32"]),
        line("frame", "A.bottom", wide, ["3/32", "3/32"]),
        line("A.top", "frame", wide, ["1/16", "1/32"]),
    ];
    let events = format!(
        r#"{{"event":"opening","gaps":[{}]}}{{"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left"}}{{"event":"readings","round":1,"gaps":[{}]}}"#,
        gaps.join(","),
        read.join(",")
    );
    let dir = tempfile::tempdir().unwrap();
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() };
    let shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
    let events = serde_json::Deserializer::from_str(&events).into_iter().map(Result::unwrap).collect();
    shop.create_opening("door").unwrap().enter(events, AT).unwrap();
    let settings = shop.settings().clone();
    // What the screen proposes, each way.
    let choice = |prefer| evenreveal::bench::rounds::Choice { prefer: Some(prefer), every_edge: false, anew: true };
    let state = seen(&shop, "door").state;
    let look = |prefer| evenreveal::bench::rounds::look(&state, &settings, spreads(), choice(prefer)).unwrap();
    let even = look(Prefer::EvenStiles);
    assert_ne!(even.plan(), look(Prefer::LeastWood).plan(), "the two plans differ");
    let trims: Vec<_> = even
        .cuts()
        .iter()
        .filter_map(|cut| {
            let aim = Trim { edge: cut.edge, start: cut.aim[0], end: cut.aim[1] };
            sheets::trim_meant(&even.problem, cut.leaf, &aim)
        })
        .collect();
    let lines = sheets::trims_meant(&even.problem, even.plan());
    let accepted = serde_json::json!({"event": "plan", "round": 1, "verdict": "cut", "prefer": "even-stiles", "trims": trims, "lines": lines});
    shop.opening("door").unwrap().enter(vec![serde_json::from_value(accepted).unwrap()], AT).unwrap();
    let seen = seen(&shop, "door");
    let matter = Matter::of(&seen, &settings, spreads());
    let plan = matter.looked().unwrap().1;
    assert_eq!(edges_of(plan), edges_of(even.plan()));
    assert!((plan.worst_after.0 - even.plan().worst_after.0).abs() < 1e-6, "the same cuts leave the same");
    assert_eq!(matter.trims(), trims);
    assert_eq!(matter.plan.as_ref().unwrap().prefer(), Prefer::EvenStiles);
}

fn edges_of(plan: &evenreveal::fit::plan::Plan) -> Vec<evenreveal::fit::opening::Edge> {
    plan.leaves.iter().flat_map(|leaf| &leaf.trims).map(|trim| trim.edge).collect()
}
