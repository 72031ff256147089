//! Checks against figures from outside, each with its source (title, edition, table) beside it.
//! "Published" means that the source's own text was read; what is from memory says so.

use evenreveal::before::season::{Air, movement};
use evenreveal::before::wood::{Sawn, Standing, wood, woods};
use evenreveal::fit::length::{Length, Unit};

/// The fields of a line of our own data files (quotes keep a comma in).
fn fields(line: &str) -> Vec<String> {
    let mut fields = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(String::new()),
            c => fields.last_mut().unwrap().push(c),
        }
    }
    fields
}

/// International Yard and Pound Agreement, 1959: the inch is 25.4 mm exactly (published).
#[test]
fn an_inch_is_25_4_mm_and_a_64th_is_0_396875_mm() {
    assert_eq!(Length::parse("25.4mm", Unit::Inch).unwrap(), Length::ratio(1, 1));
    assert_eq!(Length::parse("304.8mm", Unit::Inch).unwrap(), Length::parse("1'", Unit::Inch).unwrap());
    for n in 1..=64_u32 {
        // n × 0.396875 mm, written out in millionths so that nothing is rounded.
        let millionths = n * 396_875;
        let text = format!("{}.{:06} mm", millionths / 1_000_000, millionths % 1_000_000);
        assert_eq!(Length::parse(&text, Unit::Inch).unwrap(), Length::ratio(i64::from(n), 64), "{text}");
    }
}

/// USDA Wood Handbook, table 4-2 (published) and eq. 4-5 (constants published second-hand):
/// tests/data/emc_table_4_2.csv, 190 cells, each within 0.07.
#[test]
fn moisture_content_agrees_with_all_190_cells() {
    let table = include_str!("data/emc_table_4_2.csv");
    let (mut cells, mut worst) = (0, 0.0_f64);
    for line in table.lines().skip(1) {
        let [temperature, humidity, emc] =
            fields(line).iter().map(|f| f.parse::<f64>().unwrap()).collect::<Vec<_>>()[..]
        else {
            panic!("bad line {line}")
        };
        let found = Air::new(temperature, humidity).unwrap().moisture_percent();
        worst = worst.max((found - emc).abs());
        assert!((found - emc).abs() < 0.07, "{line}: {found}");
        cells += 1;
    }
    assert_eq!(cells, 190);
    println!("worst of 190 cells: {worst:.4}");
}

/// USDA Wood Handbook, FPL-GTR-190 (2010), table 13-5, p. 13-16: the rows marked published in
/// tests/data/wood_movement.csv. Every row of the asset must be there with the same standing.
#[test]
fn every_published_wood_is_as_the_table_has_it() {
    let mut published = 0;
    let lines: Vec<_> = include_str!("data/wood_movement.csv").lines().skip(1).collect();
    for line in &lines {
        let row = fields(line);
        let ours = wood(&row[0]).unwrap_or_else(|| panic!("{} is missing", row[0]));
        assert_eq!(ours.coefficient(Sawn::Quarter), row[1].parse::<f64>().unwrap(), "{line}");
        assert_eq!(ours.coefficient(Sawn::Flat), row[2].parse::<f64>().unwrap(), "{line}");
        assert_eq!(ours.group, row[3]);
        assert_eq!(ours.standing == Standing::Published, row[4] == "published", "{line}");
        assert_eq!(ours.standing == Standing::Recalled, row[4] == "from memory", "{line}");
        if ours.standing == Standing::Published {
            assert!(ours.source.contains("FPL-GTR-190 (2010), table 13-5"));
            published += 1;
        } else {
            assert!(ours.source.contains("not seen"));
        }
    }
    assert_eq!((woods().len(), lines.len(), published), (82, 82, 55));
    // Wood moves more along the rings than across them: a swapped pair of columns would show here.
    assert!(woods().iter().all(|wood| wood.tangential > wood.radial && wood.radial > 0.0));
}

/// USDA Wood Handbook, ch. 13, worked example after eq. 13-2: a 9.15 in board gains 0.067 in
/// (result published; that the board is white fir, tangential 0.00245, going from 8 to 11 %, is memory).
#[test]
fn a_board_of_9_15_in_gains_0_067_in() {
    let fir = wood("Fir, white").unwrap();
    let gain = movement(Length::ratio(915, 100), fir.coefficient(Sawn::Flat), 8.0, 11.0).get();
    assert_eq!(format!("{gain:.3}"), "0.067");
    // The same in millimetres: 232 mm gains 1.7 mm.
    let gain_mm = movement(Length::parse("232mm", Unit::Inch).unwrap(), 0.00245, 8.0, 11.0).get() * 25.4;
    assert_eq!(format!("{gain_mm:.1}"), "1.7");
}

/// A flooring trade's worked example (published): mesquite, 0.00129, 5 in wide, 6 to 9 %: 0.019 in.
#[test]
fn mesquite_flooring_moves_0_019_in() {
    assert_eq!(format!("{:.3}", movement(Length::ratio(5, 1), 0.00129, 6.0, 9.0).get()), "0.019");
}
