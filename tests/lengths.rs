//! Lengths: what is read, what is refused and where, and that nothing is lost on the way.
//!
//! `EVENREVEAL_FUZZ_CASES=1000000 cargo test --release --test lengths` runs the long loops.

use evenreveal::fit::length::{LONGEST_INCHES, Length, LengthProblem, Show, Unit};
use proptest::prelude::*;
use rand::Rng as _;
use rand::SeedableRng as _;
use rand::seq::IndexedRandom as _;
use rand_chacha::ChaCha8Rng;

fn inch(text: &str) -> Length {
    Length::parse(text, Unit::Inch).unwrap_or_else(|error| panic!("{error}"))
}

fn cases() -> u32 {
    std::env::var("EVENREVEAL_FUZZ_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(20_000)
}

#[test]
fn reads_what_woodworkers_write() {
    for (text, numerator, denominator) in [
        ("3/32", 3, 32),
        ("23 7/8", 191, 8),
        ("23-7/8\"", 191, 8),
        ("1' 3 1/2\"", 31, 2),
        ("1'-3 1/2\"", 31, 2),
        (".094", 47, 500),
        ("0.094in", 47, 500),
        ("0.094 in.", 47, 500),
        ("2.4mm", 12, 127),
        ("2,4 mm", 12, 127),
        ("½", 1, 2),
        ("1¾", 7, 4),
        ("1 ¾\"", 7, 4),
        ("1'½", 25, 2),
        ("24cm", 1200, 127),
        ("1-3/16\"", 19, 16),
        ("7⁄8", 7, 8),
        ("2'", 24, 1),
        ("5′", 60, 1),
        ("1'6", 18, 1),
        ("1'6''", 18, 1),
        ("3''", 3, 1),
        (".5\"", 1, 2),
        ("0,125", 1, 8),
        ("2 ft 3", 27, 1),
        ("2ft3in", 27, 1),
        ("100'", 1200, 1),
        ("  7/8 ", 7, 8),
        ("\u{a0}7/8\u{2003}", 7, 8),
        ("+ 7/8", 7, 8),
        ("5/4", 5, 4),
        ("24/32", 3, 4),
        ("0", 0, 1),
        ("0/5", 0, 1),
    ] {
        assert_eq!(inch(text), Length::ratio(numerator, denominator), "{text}");
    }
    assert_eq!(Length::parse("2.4", Unit::Millimetre).unwrap(), Length::ratio(12, 127));
    assert_eq!(Length::parse("3/32\"", Unit::Millimetre).unwrap(), Length::ratio(3, 32));
    assert_eq!(Length::parse("1' 3", Unit::Millimetre).unwrap(), Length::ratio(15, 1));
}

#[test]
fn refuses_the_rest_with_the_place() {
    use LengthProblem::*;
    let long = format!("3/4{}x", " ".repeat(200));
    for (text, position, problem) in [
        ("", 1, Empty),
        ("   ", 4, Empty),
        ("3/0", 3, ZeroDenominator),
        ("-3", 1, Negative),
        ("−3", 1, Negative),
        ("3x", 2, Strange),
        ("3 4", 3, TrailingText),
        ("3/", 3, NumberMissing),
        ("/4", 1, NumberMissing),
        ("in", 1, NumberMissing),
        (".", 2, NumberMissing),
        ("1.", 3, NumberMissing),
        ("+", 2, NumberMissing),
        ("23-", 4, NumberMissing),
        ("1'-", 4, NumberMissing),
        ("1''6", 4, TrailingText),
        ("1' 6'", 4, TrailingText),
        ("1/2/3", 4, TrailingText),
        ("0.5.5", 4, TrailingText),
        ("1.5/2", 4, TrailingText),
        ("3/4 1/2", 5, TrailingText),
        ("½½", 2, TrailingText),
        ("99999999999999999999", 1, TooManyDigits),
        ("0.123456789012345678901", 23, TooManyDigits),
        ("40000", 1, TooLong),
        ("  40000.5", 3, TooLong),
        ("1201", 1, TooLong),
        ("101'", 1, TooLong),
        ("30481mm", 1, TooLong),
        ("1/2mm", 1, MetricFraction),
        ("1,000", 2, AmbiguousComma),
        ("1/99999", 3, Denominator),
        ("1e5", 2, Strange),
        ("NaN", 1, NumberMissing),
        ("３/４", 1, Strange),
        ("1\u{fe0f}½", 2, Strange),
        ("٣", 1, Strange),
        ("=1/3\"", 1, Strange),
        (long.as_str(), 81, TextTooLong),
    ] {
        let error = Length::parse(text, Unit::Inch).expect_err(text);
        assert_eq!((error.position, error.problem), (position, problem), "{text}: {error}");
    }
    for (text, position, problem) in
        [("--3", 2, Strange), ("- 3x", 4, Strange), ("=1/0\"", 4, ZeroDenominator), ("=1/", 4, NumberMissing)]
    {
        let error = Length::parse_signed(text, Unit::Inch).expect_err(text);
        assert_eq!((error.position, error.problem), (position, problem), "{text}: {error}");
    }
    let error = Length::parse("1/2", Unit::Millimetre).unwrap_err();
    assert_eq!(error.problem, MetricFraction);
    assert_eq!(
        Length::parse("3\u{1b}[2J", Unit::Inch).unwrap_err().to_string(),
        "'3\u{fffd}[2J' is not a length: a length has no such character at character 2; write it like 3/32, 23 7/8, 0.094 or 2.4mm"
    );
}

#[test]
fn the_example_in_every_refusal_is_itself_read() {
    for unit in [Unit::Inch, Unit::Millimetre] {
        let example = Length::parse("", unit).unwrap_err().example;
        for text in example.replace(" or ", ", ").split(", ") {
            Length::parse(text, unit).unwrap();
        }
    }
}

#[test]
fn shows_lowest_terms_rounded_half_to_the_even_fraction_and_decimals_half_up() {
    for (text, style, shown) in [
        ("0.75", Show::Fraction(64), "3/4"),
        ("0.0978", Show::Fraction(32), "3/32"),
        ("2.4mm", Show::Millimetre(1), "2.4mm"),
        ("23.875", Show::Fraction(64), "23 7/8"),
        ("0.0005", Show::DecimalInch(3), "0.001"),
        ("0.0015", Show::DecimalInch(3), "0.002"),
        ("0.0625", Show::DecimalInch(3), "0.063"),
        ("0.0624", Show::DecimalInch(3), "0.062"),
        ("29.8125", Show::DecimalInch(3), "29.813"),
        ("0.25mm", Show::Millimetre(1), "0.3mm"),
        ("0.35mm", Show::Millimetre(1), "0.4mm"),
        ("7/8", Show::Fraction(0), "1"),
    ] {
        assert_eq!(inch(text).shown(style), shown, "{text}");
    }
    assert_eq!(Length::ratio(-1, 16).shown(Show::DecimalInch(3)), "-0.063");
    assert_eq!(Length::ratio(1, 128).shown(Show::Fraction(64)), "0");
    assert_eq!(Length::ratio(3, 128).shown(Show::Fraction(64)), "1/32");
    assert_eq!(Length::ratio(-3, 128).shown(Show::Fraction(64)), "-1/32");
    assert_eq!(inch("0.0978").shown_with_error(Show::Fraction(32)), "3/32 +0.004");
    assert_eq!(inch("0.09").shown_with_error(Show::Fraction(32)), "3/32 -0.004");
    assert_eq!(inch("3/32").shown_with_error(Show::Fraction(32)), "3/32");
}

/// What a part is sawn to: the very fraction, to 1/128; four places, which every sixteenth has; no hundredths of a
/// millimetre where the shop works to tenths.
#[test]
fn sizes_of_parts_are_shown_as_they_are_sawn() {
    let (inches, decimals, metric) = (Show::Fraction(64), Show::DecimalInch(3), Show::Millimetre(1));
    for (text, style, sized, in_tables) in [
        ("6 71/128", inches, "6 71/128", "6 71/128"),
        ("6 9/16", inches, "6 9/16", "6 9/16"),
        ("6 5/32", Show::Fraction(16), "6 5/32", "6 5/32"),
        // Thirds have no such fraction: the nearest, and what lacks.
        ("19 2/3", inches, "19 43/64 -0.005", "19 43/64"),
        ("1/256", inches, "0.004", "0"),
        ("0.0625", decimals, "0.0625", "0.0625"),
        ("29.8125", decimals, "29.8125", "29.8125"),
        ("3/4", decimals, "0.7500", "0.7500"),
        ("1/32", decimals, "0.0313", "0.0313"),
        ("0.0625", Show::DecimalInch(5), "0.06250", "0.06250"),
        ("3/4", metric, "19.1mm", "19.1mm"),
        ("15 15/16", metric, "404.8mm", "404.8mm"),
        ("19.05mm", Show::Millimetre(2), "19.05mm", "19.05mm"),
    ] {
        assert_eq!((inch(text).sized(style), inch(text).shown_size(style)), (sized.to_owned(), in_tables.to_owned()));
    }
}

#[test]
fn numbers_are_taken_by_their_shortest_writing() {
    for (number, numerator, denominator) in
        [(0.1, 1, 10), (0.0009, 9, 10_000), (-0.0009, -9, 10_000), (1e-7, 1, 10_000_000), (-0.0, 0, 1), (1e-300, 0, 1)]
    {
        assert_eq!(Length::from_number(number, Unit::Inch), Some(Length::ratio(numerator, denominator)), "{number}");
    }
    for bad in [f64::NAN, f64::INFINITY, -f64::INFINITY, 1e300, -1e300, 1200.5] {
        assert_eq!(Length::from_number(bad, Unit::Inch), None, "{bad}");
    }
    assert!(Length::from_number(4.503_599_627_370_497e-17, Unit::Millimetre).is_some());
}

/// The longest sums, finest parts and wildest styles: refused or right, never a panic.
#[test]
fn arithmetic_at_the_edges_is_refused_not_wrong() {
    let finest = inch("0.99999999999999999999mm");
    let third = inch("1/997");
    let sum = finest.checked_add(third).expect("22 and 3 digits fit");
    assert_eq!(Length::parse_signed(&sum.canonical(), Unit::Inch).unwrap(), sum);
    assert_eq!(sum.checked_sub(third), Some(finest));
    let huge = Length::ratio(i64::MAX, 1);
    assert_eq!(Length::parse_signed(&huge.canonical(), Unit::Inch).unwrap(), huge);
    assert_eq!(huge.checked_scale(i64::MAX, 1), None);
    assert_eq!(third.checked_scale(1, i64::MAX).and_then(|l| l.checked_scale(1, i64::MAX)), None);
    assert_eq!(third.checked_scale(1, 0), None);
    assert_eq!(sum.checked_scale(1, 9973), None);
    for style in [Show::Fraction(u16::MAX), Show::Fraction(0), Show::DecimalInch(255), Show::Millimetre(255)] {
        for length in [finest, sum, huge, huge.negated(), Length::ratio(1, i64::MAX), Length::ratio(i64::MIN, i64::MAX)]
        {
            let (near, error) = length.rounded(style);
            let step = if style == Show::Fraction(0) { 1.0 } else { 1e-4 };
            assert!(error.inches().abs() <= 0.5 * step + 1e-12, "{length} in {style:?}: {error}");
            assert!(near.is_negative() == length.is_negative() || near.is_zero());
            assert!(!length.shown_with_error(style).is_empty());
        }
    }
}

fn style() -> impl Strategy<Value = Show> {
    prop_oneof![
        prop::sample::select(vec![1_u16, 2, 4, 8, 16, 32, 64, 128]).prop_map(Show::Fraction),
        (0_u8..=9).prop_map(Show::DecimalInch),
        (0_u8..=9).prop_map(Show::Millimetre),
    ]
}

/// Any length that sums and products of typed ones could make.
fn length() -> impl Strategy<Value = Length> {
    prop_oneof![
        (-76_800_i64..=76_800, 1_i64..=10_000).prop_map(|(n, d)| Length::ratio(n, d)),
        (-1_000_000_000_000_i64..1_000_000_000_000, 1_i64..1_000_000_000).prop_map(|(n, d)| Length::ratio(n, d)),
        (0_i64..=1200, 0_u64..u64::MAX).prop_map(|(whole, part)| inch(&format!("{}.{part:020}mm", whole * 25))),
        (any::<i64>(), 1_i64..=i64::MAX).prop_map(|(n, d)| Length::ratio(n, d)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases((cases() / 20).max(256)))]

    #[test]
    fn what_is_shown_reads_back_as_what_was_shown(length in length(), style in style()) {
        let (near, error) = length.rounded(style);
        let longest = Length::ratio(LONGEST_INCHES as i64, 1);
        if near.abs() <= longest {
            prop_assert_eq!(Length::parse_signed(&length.shown(style), style.unit()).unwrap(), near);
            // Exactly the length again, unless the error is finer than can be held.
            if let Some(back) = near.checked_add(error) {
                prop_assert!((back.inches() - length.inches()).abs() < 1e-12);
            }
        }
        // Rounding twice changes nothing.
        prop_assert_eq!(near.rounded(style), (near, Length::ZERO));
    }

    #[test]
    fn canonical_text_reads_back_exactly(length in length(), unit in prop::sample::select(vec![Unit::Inch, Unit::Millimetre])) {
        let text = length.canonical();
        prop_assert_eq!(Length::parse_signed(&text, unit).unwrap(), length, "{}", text);
        let json = serde_json::to_string(&length).unwrap();
        prop_assert_eq!(serde_json::from_str::<Length>(&json).unwrap(), length);
        if !length.is_negative() && !text.contains('=') {
            prop_assert_eq!(Length::parse(&text, unit).unwrap(), length);
        }
    }

    #[test]
    fn sums_of_typed_lengths_read_back_exactly(parts in prop::collection::vec((0_i64..=1200, 0_i64..10_000, 1_i64..=10_000, any::<bool>()), 1..6)) {
        let mut sum = Length::ZERO;
        for (whole, n, d, metric) in parts {
            let text = if metric { format!("{whole}.{n:04}mm") } else { format!("{} {n}/{d}", whole / 2) };
            let Ok(part) = Length::parse(&text, Unit::Inch) else { continue };
            let Some(next) = sum.checked_add(part) else { continue };
            prop_assert_eq!(next.checked_sub(part), Some(sum));
            sum = next;
            prop_assert_eq!(Length::parse_signed(&sum.canonical(), Unit::Millimetre).unwrap(), sum);
        }
    }

    #[test]
    fn a_number_reads_as_its_own_decimal(number in -1100.0_f64..1100.0) {
        let length = Length::from_number(number, Unit::Inch).unwrap();
        prop_assert!((length.inches() - number).abs() <= 1e-15 * number.abs() + 1e-20);
        prop_assert_eq!(length, Length::parse_signed(&number.to_string(), Unit::Inch).unwrap());
    }
}

/// Texts made of what lengths are made of, and of what they are not: each is read or refused with a
/// place inside the text (or just behind it), and what is read survives the round trip.
#[test]
fn no_text_panics_and_every_refusal_has_its_place() {
    const PIECES: [&str; 44] = [
        "0",
        "1",
        "2",
        "3",
        "7",
        "16",
        "32",
        "64",
        "000",
        "9999",
        "/",
        "⁄",
        " ",
        "\u{a0}",
        "-",
        "−",
        "+",
        "=",
        ".",
        ",",
        "'",
        "\"",
        "''",
        "′",
        "″",
        "’",
        "in",
        "ft",
        "mm",
        "cm",
        "inches",
        "½",
        "¾",
        "⅞",
        "３",
        "٣",
        "é",
        "e\u{301}",
        "x",
        "\u{1b}",
        "\u{200d}",
        "👩‍🔧",
        "99999999999999",
        "\u{202e}",
    ];
    let mut rng = ChaCha8Rng::seed_from_u64(2);
    let (mut read, mut refused) = (0_u32, 0_u32);
    for case in 0..cases() {
        let pieces = rng.random_range(0..10) + if case % 1000 == 0 { 500 } else { 0 };
        let text: String = (0..pieces).map(|_| *PIECES.choose(&mut rng).unwrap()).collect();
        for unit in [Unit::Inch, Unit::Millimetre] {
            match Length::parse(&text, unit) {
                Ok(length) => {
                    read += 1;
                    assert!(!length.is_negative() && length <= Length::ratio(1200, 1), "{text:?}");
                    assert_eq!(Length::parse(&length.canonical(), unit).as_ref(), Ok(&length), "{text:?}");
                    assert_eq!(Length::parse_signed(&text, unit), Ok(length), "{text:?}");
                }
                Err(error) => {
                    refused += 1;
                    assert!((1..=text.chars().count() + 1).contains(&error.position), "{text:?}: {error}");
                    assert!(error.text.chars().count() <= 40 && !error.to_string().contains('\u{1b}'));
                }
            }
            if let Ok(length) = Length::parse_signed(&text, unit) {
                assert_eq!(Length::parse_signed(&length.canonical(), unit), Ok(length), "{text:?}");
            }
        }
    }
    println!("{read} read, {refused} refused");
    assert!(read > cases() / 20 && refused > cases() / 20, "the pieces no longer make both kinds: {read}, {refused}");
}
