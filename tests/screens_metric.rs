//! A shop that measures in millimetres, by keys: what stands in a form says its unit and is kept as it stands.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::fit::length::{Length, Show, Unit};
use evenreveal::shop::event::Event;
use evenreveal::shop::settings::Settings;
use screen_bench::{BARE, Bench, SINGLE};

fn metric(events: &str) -> Bench {
    let settings = Settings { name: "a shop".to_owned(), show: Show::Millimetre(1), ..Settings::default() };
    Bench::in_shop(settings, &[("left door", events)])
}

fn last(bench: &Bench) -> &Event {
    &bench.session.opened.as_ref().unwrap().records.last().unwrap().event
}

#[test]
fn a_survey_taken_in_inches_stays_what_it_is() {
    let inches = r#"{"event":"survey","widths":["11.83",null,"11.83"],"heights":["26",null,"26"]}"#;
    let mut bench = metric(&format!("{BARE}{inches}"));
    bench.press("\rs");
    bench.shows("300.482mm");
    // One more length: the others are kept with it.
    bench.press("\t300.5\u{1b}");
    bench.shows("kept, event 3");
    let Event::Survey(survey) = last(&bench) else { panic!("{:?}", last(&bench)) };
    let tape = survey.tape();
    let width = Length::parse("11.83", Unit::Inch).unwrap();
    assert_eq!(tape.widths, [Some(width), Some(Length::parse("300.5mm", Unit::Inch).unwrap()), Some(width)]);
}

#[test]
fn flush_corners_taken_in_inches_stay_what_they_are() {
    let inches = r#"{"event":"flush","leaf":"A","corners":["0.0123457","0","-1/64","0"],"hinges":["3","23"]}"#;
    let mut bench = metric(&format!("{SINGLE}{inches}"));
    bench.press("\rf\t\t\t");
    bench.press("\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}0.2\u{1b}");
    bench.shows("kept, event 4");
    let Event::Flush(flush) = last(&bench) else { panic!("{:?}", last(&bench)) };
    let inch = |text| Length::parse_signed(text, Unit::Inch).unwrap();
    assert_eq!(flush.hinges, [inch("3"), inch("23")]);
    assert_eq!((flush.corners[0], flush.corners[2]), (inch("0.0123457"), inch("-1/64")));
}

#[test]
fn the_blank_form_of_a_new_shop_is_taken_as_it_stands() {
    let survey = r#"{"event":"survey","widths":["11.1875",null,null],"heights":["26.1875",null,null]}"#;
    let mut bench = metric(&format!("{BARE}{survey}"));
    bench.press("\rb");
    // Round figures of the shop's own unit: it was 19.05mm, 9.525mm and 1.5875mm.
    for figure in ["19.0mm", "50.0mm", "10.0mm", "3.0mm", "6.0mm", "25.0mm", "1.5mm"] {
        bench.shows(figure);
    }
    bench.press("\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\r");
    let Event::Build(build) = last(&bench) else { panic!("{:?}\n{}", last(&bench), bench.text()) };
    assert_eq!(build.thickness, Length::parse("19mm", Unit::Inch).unwrap());
    assert_eq!(build.allowance, Length::parse("1.5mm", Unit::Inch).unwrap());
}

/// In a shop of decimals no fraction is filled in.
#[test]
fn the_blank_form_of_a_shop_of_decimals_has_no_fractions() {
    let settings = Settings { show: Show::DecimalInch(3), ..Settings::default() };
    let survey = r#"{"event":"survey","widths":["11.1875",null,null],"heights":["26.1875",null,null]}"#;
    let mut bench = Bench::in_shop(settings, &[("left door", &format!("{BARE}{survey}"))]);
    bench.press("\rb");
    for figure in ["0.750", "2.000", "0.375", "0.125", "0.250", "1.000", "0.0625"] {
        bench.shows(figure);
    }
    let fields = bench.text();
    let values = fields.lines().take_while(|line| !line.contains("   of frame")).filter(|line| line.contains('/'));
    assert_eq!(values.count(), 0, "{fields}");
}

/// A pair whose year has more lines than a small screen: the rest is a key away, and that is said; nothing of the
/// swing is cut off. In every unit.
#[test]
fn year_and_swing_stand_whole_at_80x24() {
    let events = r#"{"event":"opening","gaps":[
      {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","B.left"],"target":"1/8"},
      {"between":["B.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},
      {"between":["A.top","frame"],"target":"3/32"},{"between":["frame","B.bottom"],"target":"3/32"},
      {"between":["B.top","frame"],"target":"3/32"}],"survey":{"widths":["24.5",null,null],"heights":["30",null,null]}}
    {"event":"leaf","leaf":"A","name":"left door","width":"12 1/16","height":"29 15/16","hinge":"left","thickness":"3/4"}
    {"event":"leaf","leaf":"B","name":"right door","width":"12 1/16","height":"29 15/16","hinge":"right","thickness":"3/4"}
    {"event":"build","leaf":"A","thickness":"3/4","species":"Cherry, black","allowance":"1/16","finish":"lacquer"}
    {"event":"build","leaf":"B","thickness":"3/4","species":"White oak, commercial","allowance":"1/16","finish":"oil"}"#;
    for show in [Show::Fraction(64), Show::DecimalInch(3), Show::Millimetre(1)] {
        let settings = Settings { show, ..Settings::default() };
        let mut bench = Bench::in_shop(settings.clone(), &[("pair", events)]);
        bench.press("\rg");
        let state = &bench.session.opened.as_ref().unwrap().state;
        let year = evenreveal::bench::prepare::year::year(state, &settings).unwrap();
        let told = evenreveal::bench::prepare::told::year_notes(&year, show);
        let mut seen = bench.text();
        bench.shows("more below: Down");
        bench.key(ratatui::crossterm::event::KeyCode::Down, ratatui::crossterm::event::KeyModifiers::NONE);
        bench.shows("more above: Up");
        seen.push_str(&bench.text());
        let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        for line in told {
            assert!(plain(&seen).contains(&plain(&line.text)), "no '{}' on\n{seen}", line.text);
        }
        bench.press("\u{1b}w");
        assert!(!bench.text().contains(".."), "{}", bench.text());
    }
}

/// Nothing of what comes before hanging, and no reason of a plan, is said in inches.
#[test]
fn reasons_are_said_in_millimetres() {
    let survey = r#"{"event":"survey","widths":["11.1875",null,"11.25"],"heights":["26.1875",null,null]}"#;
    let build = r#"{"event":"build","leaf":"A","thickness":"3/4","frame":{"stiles":["2","2"],"rails":["2","2"],"joint":"stub-tenon","groove":"3/8","float":"1/8","panel_thickness":"1/4"},"species":"Cherry, black","allowance":"1/16","trimmed":["left","right","top"]}"#;
    let mut bench = metric(&format!("{BARE}{survey}{build}"));
    bench.press("\rg");
    bench.shows("mm across between");
    assert!(!bench.text().contains(" in)"), "{}", bench.text());
    bench.press("\u{1b}w");
    bench.shows("the gap must be");
    let text = bench.text();
    let must = text.lines().filter(|line| line.contains("the gap must be"));
    assert!(must.clone().all(|line| line.trim_end().ends_with("mm")), "{text}");
    let read = r#"{"event":"readings","round":1,"gaps":[
      {"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/64"},{"at":"13","gap":"1/64"},{"at":"25","gap":"1/64"}]},
      {"between":["A.right","frame"],"readings":[{"at":"1","gap":"1/64"},{"at":"13","gap":"1/64"},{"at":"25","gap":"1/64"}]},
      {"between":["frame","A.bottom"],"readings":[{"at":"1","gap":"3/32"},{"at":"10","gap":"3/32"}]},
      {"between":["A.top","frame"],"readings":[{"at":"1","gap":"3/32"},{"at":"10","gap":"3/32"}]}]}"#;
    let mut bench = metric(&format!("{SINGLE}{read}"));
    bench.press("\rp?");
    bench.shows("errs 0.");
    let text = bench.text();
    let errs: Vec<_> = text.lines().filter(|line| line.contains("errs 0.") || line.contains("line sure to")).collect();
    assert!(!errs.is_empty() && errs.iter().all(|line| !line.contains(" in")), "{text}");
}
