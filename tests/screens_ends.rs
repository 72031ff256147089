//! How a fit ends, by keys, at three sizes, against kept snapshots: it fits, wood is missing, it is as good as it
//! gets, a hinge is to be packed; and what striking a reading of an earlier round does.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::bench::brief::Thing;
use evenreveal::bench::stations::StationPlace;
use evenreveal::fit::opening::Edge;
use evenreveal::shop::replay::Stage;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{Bench, SINGLE};

const HUNG: &str = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left",
  "motion":{"hung":{"hinges":["3","23"],"pack":"1/8","let_in":"1/32","stock":["1/32","1/64"]}}}"#;

impl Bench {
    fn thing(&self) -> Option<Thing> {
        let opened = self.session.opened.as_ref().unwrap();
        self.session.advised.brief(opened).map(|brief| brief.thing)
    }

    fn stage(&self) -> Stage {
        self.session.opened.as_ref().unwrap().state.stage()
    }

    /// From the list: every station read once, then whatever is asked for, until nothing is.
    #[track_caller]
    fn read_out(&mut self, feeler: impl Fn(&StationPlace) -> String) {
        self.press("r");
        self.walk_as(&feeler);
        while !matches!(self.session.screen(), Some(Screen::Home(_))) {
            self.press("\u{1b}");
        }
        for _ in 0..90 {
            if !matches!(self.thing(), Some(Thing::ReadAgain(_) | Thing::Check)) {
                return;
            }
            self.press("r");
            self.walk_as(&feeler);
        }
        panic!("it asks for ever\n{}", self.text());
    }
}

#[test]
fn it_fits_when_the_plan_says_so_and_the_user_accepts_it() {
    let mut bench = Bench::new();
    bench.press("\r");
    bench.read_out(|_| "3/32".to_owned());
    assert_eq!(bench.thing(), Some(Thing::Fits), "{}", bench.text());
    bench.shows("accept it in the plan (p)");
    bench.is_as_kept("60_fits");
    bench.press("p");
    bench.shows("IT FITS");
    bench.is_as_kept("61_fits_plan");
    bench.press("a");
    assert_eq!(bench.stage(), Stage::Fitted { round: 1 });
    bench.shows("nothing: it fits");
    bench.is_as_kept("62_fitted");
}

#[test]
fn wood_that_is_missing_is_said_with_what_would_help() {
    let mut bench = Bench::new();
    bench.press("\r");
    bench.read_out(|station| if station.edge.is_upright() { "3/16" } else { "3/32" }.to_owned());
    assert_eq!(bench.thing(), Some(Thing::Short), "{}", bench.text());
    bench.shows("wood is missing");
    bench.shows("glue a strip");
    bench.is_as_kept("63_short");
    bench.press("p");
    bench.shows("TOO SHORT");
    bench.is_as_kept("64_short_plan");
    bench.press("m");
    bench.is_as_kept("74_strip_glued_on");
    bench.press("\u{1b}");
    // Accepted: nothing is asked for until something was done about it, and what would help stays in sight.
    bench.press("a");
    assert_eq!(bench.stage(), Stage::Short { round: 1 });
    bench.shows("wood is missing");
    bench.press("\r");
    bench.shows("TOO SHORT");
    bench.press("\u{1b}\u{1b}");
    bench.shows("none helps");
    bench.shows("Wood is missing");
}

#[test]
fn as_good_as_it_gets_is_said_once_reading_again_is_no_use() {
    let mut bench = Bench::new();
    bench.press("\r");
    bench.read_out(|_| "0.108".to_owned());
    assert_eq!(bench.thing(), Some(Thing::AsGood), "{}", bench.text());
    bench.shows("taper gauge");
    bench.is_as_kept("65_as_good");
    bench.press("pa");
    assert_eq!(bench.stage(), Stage::Settled { round: 1 });
    bench.is_as_kept("66_settled");
}

#[test]
fn a_pack_goes_before_the_readings_that_only_a_cut_must_wait_for() {
    let mut bench = Bench::with(&[("left door", HUNG)]);
    bench.press("\rr");
    bench.walk_as(|station| {
        match station.edge {
            Edge::Left => "1/32",
            Edge::Right => "5/32",
            Edge::Top | Edge::Bottom => "3/32",
        }
        .to_owned()
    });
    bench.shows("PACK A HINGE");
    bench.is_as_kept("67_pack_plan");
    bench.press("\u{1b}");
    assert_eq!(bench.thing(), Some(Thing::Pack), "{}", bench.text());
    bench.shows("see to the hinges first");
    bench.is_as_kept("68_pack");
}

/// Two rounds: all gaps tight by 1/32 on the left, cut, read again.
fn two_rounds() -> Bench {
    let mut bench = Bench::new();
    bench.press("\r");
    bench.read_out(|station| if station.edge == Edge::Left { "1/32" } else { "3/32" }.to_owned());
    assert_eq!(bench.thing(), Some(Thing::Cut), "{}", bench.text());
    bench.press("pa");
    while matches!(bench.session.screen(), Some(Screen::Record(_))) {
        bench.press("d");
    }
    bench.read_out(|station| if station.edge == Edge::Left { "5/64" } else { "3/32" }.to_owned());
    bench
}

#[test]
fn striking_a_reading_of_an_earlier_round_moves_the_estimate_and_putting_it_back_brings_it_back() {
    let mut bench = two_rounds();
    let estimate = |bench: &Bench| {
        let look = bench.answer().answer.clone().unwrap();
        (look.advice.doubt, look.advice.passes.clone(), look.problem.clone())
    };
    let history = |bench: &Bench| bench.answer().history.clone();
    let (before, rounds) = (estimate(&bench), history(&bench));
    // To a reading of the left edge in round 1, and strike it.
    bench.press("l");
    for _ in 0..200 {
        let Some(Screen::Log(log)) = bench.session.screen() else { panic!("no log") };
        if log.at == 0 {
            break;
        }
        bench.press("k");
    }
    let records = bench.session.opened.as_ref().unwrap().records.clone();
    let place = records
        .iter()
        .position(|record| {
            matches!(&record.event, evenreveal::shop::event::Event::Readings(taken)
                if taken.round == 1 && taken.gaps.iter().any(|gap| gap.between.contains(&"A.left".to_owned())))
        })
        .unwrap();
    bench.press(&"j".repeat(place));
    bench.press("s");
    bench.shows("(taken back by ");
    let struck = history(&bench);
    assert_ne!(struck, rounds, "the history is worked out anew");
    bench.is_as_kept("69_log_struck");
    bench.press("\u{1b}");
    let after = estimate(&bench);
    assert_ne!(after, before, "the estimate follows");
    bench.key(KeyCode::Char('y'), KeyModifiers::CONTROL);
    assert_eq!(estimate(&bench), before, "putting it back brings the estimate back");
    assert_eq!(history(&bench), rounds);
    // A judged reading of the earlier round: kept on the record, and taken back by the same key.
    let state = bench.session.opened.as_ref().unwrap().state.clone();
    let first = &state.round(1).unwrap().taken[0];
    let judged = serde_json::json!({"event":"judged","reading":first.n,"between":state.gaps[first.taken.gap].between,
        "station":first.taken.reading.at,"verdict":"struck"});
    let event = serde_json::from_value(judged).unwrap();
    let keep = evenreveal::bench::Effect::Keep { opening: "left door".to_owned(), events: vec![event] };
    let kept = bench.runner.run(keep).unwrap();
    evenreveal::shell::deal(kept, &mut bench.session, &mut bench.runner);
    assert_ne!(estimate(&bench), before, "struck by a judgement");
    assert!(history(&bench)[0].shown.struck > 0);
    bench.press("u");
    assert_eq!(estimate(&bench), before);
}

#[test]
fn chart_and_rows_of_the_history_show_one_quantity() {
    let mut bench = two_rounds();
    bench.press("l");
    let rounds = bench.answer().history.clone();
    let text = bench.text();
    assert!(text.contains("worst miss, the leaf moved as well as can be"), "{text}");
    let show = bench.session.shop.show();
    for round in rounds {
        let miss = round.shown.moved.unwrap().length().shown_with_error(show);
        let times = text.matches(&miss).count();
        assert!(times >= 2, "'{miss}' of round {} stands on the chart and in its row\n{text}", round.number);
    }
    bench.is_as_kept("70_history_two_rounds");
}

#[test]
fn long_lists_say_what_is_above_and_below() {
    let names: Vec<String> = (1..=60).map(|number| format!("door {number:02}")).collect();
    let openings: Vec<(&str, &str)> = names.iter().map(|name| (name.as_str(), SINGLE)).collect();
    let mut bench = Bench::with(&openings);
    bench.shows("more below");
    assert!(!bench.text().contains("more above"));
    bench.press(&"j".repeat(30));
    bench.shows("more above");
    bench.shows("more below");
    bench.shows("> door 31");
    bench.is_as_kept("71_long_list");
    bench.press(&"j".repeat(40));
    bench.shows("> door 60");
    bench.shows("more above");
    assert!(!bench.text().contains("more below"));
}

#[test]
fn a_long_complaint_is_read_to_its_end_at_80_columns() {
    let mut bench = Bench::new();
    let why = format!("{} end of it", "a complaint that goes on and on ".repeat(5));
    bench.session.said = Some(evenreveal::bench::Said::trouble(why));
    bench.shows("end of it");
}

#[test]
fn the_bar_of_an_opening_ends_with_the_way_to_all_keys() {
    let mut bench = Bench::new();
    bench.press("\r");
    bench.shows("? all keys");
    bench.press("?");
    for key in ["survey", "blank", "swing and back-bevel", "gap through the year", "flush and wind"] {
        bench.shows(key);
    }
}
