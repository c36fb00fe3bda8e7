//! Numbers and times in the maker's words.

use std::time::SystemTime;

use seamwright_geometry::Vector;

/// A number that was written out, without the sign of nothing: `-0.0` would make people wonder. All numbers of the window
/// and of the command line come through here.
pub fn unsigned_nothing(text: String) -> String {
    let digits = text.strip_prefix('-').or_else(|| text.strip_prefix('−'));
    match digits {
        Some(digits) if digits.bytes().all(|b| matches!(b, b'0' | b'.')) => digits.to_owned(),
        _ => text,
    }
}

/// A coordinate in whole mm.
pub fn whole(mm: f64) -> String {
    unsigned_nothing(format!("{mm:.0}")).replace('-', "−")
}

/// `204.0`: a length in mm, to a tenth; printers place no finer.
pub fn mm(length_mm: f64) -> String {
    unsigned_nothing(format!("{length_mm:.1}")).replace('-', "−")
}

/// `+3.2`: spare room, or what sticks out, in mm.
pub fn signed_mm(length_mm: f64) -> String {
    let text = mm(length_mm.abs());
    match text.as_str() {
        "0.0" => text,
        _ if length_mm < 0.0 => format!("−{text}"),
        _ => format!("+{text}"),
    }
}

/// `-12.5`, with a true minus sign and none before a zero: mm or degrees beside a handle.
pub fn tenths(x: f64) -> String {
    let text = format!("{:.1}", x.abs());
    if x < 0.0 && text != "0.0" { format!("−{text}") } else { text }
}

/// The same with a plus sign before what is not negative.
pub fn signed_tenths(x: f64) -> String {
    let text = tenths(x);
    if text.starts_with('−') { text } else { format!("+{text}") }
}

/// A number for an entry field: as exact as it is typed, without noise, with the minus sign of all numbers that are read.
pub fn entry(value: f64) -> String {
    let text = format!("{value:.4}");
    unsigned_nothing(text.trim_end_matches('0').trim_end_matches('.').to_owned()).replace('-', "−")
}

/// `123.46`: a length in mm to be read, to the hundredth: finer than any printer is. What is smaller keeps two digits.
pub fn length(length_mm: f64) -> String {
    entry(rounded(length_mm))
}

/// `1.187`: how many times as large, with four digits.
pub fn factor(factor: f64) -> String {
    let digits = 3.0 - factor.abs().log10().floor();
    if !(0.0..=6.0).contains(&digits) {
        return entry(factor);
    }
    let fine = 10f64.powi(digits as i32);
    entry((factor * fine).round() / fine)
}

/// To the hundredth.
pub fn hundredths(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

/// `12` or `12.5`: an angle in degrees, to a tenth.
pub fn angle(angle_deg: f64) -> String {
    entry((angle_deg * 10.0).round() / 10.0)
}

/// `204 × 191 × 94`: three sizes in mm, to the next whole one; small ones with two digits, so that none is told as nothing.
pub fn sizes(size: &Vector) -> String {
    let [x, y, z] = sides(size);
    format!("{x} × {y} × {z}")
}

/// The same, each side by itself.
pub fn sides(size: &Vector) -> [String; 3] {
    [size.x, size.y, size.z].map(side)
}

/// To the hundredth: what the file has beyond that is rounding. What is smaller than a millimetre keeps two digits.
pub fn rounded(length_mm: f64) -> f64 {
    let digits = if length_mm.abs() < 1.0 && length_mm != 0.0 { 1.0 - length_mm.abs().log10().floor() } else { 2.0 };
    let fine = 10f64.powi(digits.clamp(2.0, 6.0) as i32);
    (length_mm * fine).round() / fine
}

fn side(length_mm: f64) -> String {
    match length_mm.abs() {
        // A flat thing has no thickness, and rounding no meaning.
        0.0..1e-6 => "0".into(),
        small @ 0.0..9.5 => {
            let digits = (1.0 - small.log10().floor()).clamp(1.0, 6.0) as usize;
            let text = format!("{length_mm:.digits$}");
            unsigned_nothing(text.trim_end_matches('0').trim_end_matches('.').to_owned())
        }
        _ => format!("{length_mm:.0}"),
    }
}

/// `412 cm³`.
pub fn volume(volume_mm3: f64) -> String {
    let cm3 = volume_mm3 / 1000.0;
    if cm3.abs() < 10.0 {
        format!("{} cm³", unsigned_nothing(format!("{cm3:.2}")))
    } else {
        format!("{} cm³", grouped(cm3.round()))
    }
}

/// `12.4 cm²`.
pub fn area(area_mm2: f64) -> String {
    format!("{} cm²", unsigned_nothing(format!("{:.1}", area_mm2 / 100.0)))
}

/// `1 piece`, `3 pieces`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{} {many}", grouped(n as f64)) }
}

/// `1 234 567`, with narrow spaces.
pub fn grouped(n: f64) -> String {
    let digits = format!("{:.0}", n.abs());
    let mut text = String::from(if n < 0.0 { "−" } else { "" });
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push('\u{2009}');
        }
        text.push(digit);
    }
    text
}

/// `1.4 MB`.
pub fn bytes(n: u64) -> String {
    match n {
        0..1_000 => format!("{n} bytes"),
        1_000..1_000_000 => format!("{:.0} kB", n as f64 / 1e3),
        _ => format!("{:.1} MB", n as f64 / 1e6),
    }
}

/// `just now`, `4 min ago`, `3 h ago`, `2 days ago`.
pub fn ago(then: SystemTime, now: SystemTime) -> String {
    let seconds = now.duration_since(then).map_or(0, |d| d.as_secs());
    match seconds {
        0..60 => "just now".into(),
        60..3_600 => format!("{} min ago", seconds / 60),
        3_600..172_800 => format!("{} h ago", seconds / 3_600),
        _ => format!("{} days ago", seconds / 86_400),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn nothing_is_shown_as_minus_nothing() {
        assert_eq!((mm(-0.01), entry(-0.0), signed_mm(-0.04)), ("0.0".into(), "0".into(), "0.0".into()));
        assert_eq!(mm(-10.04), "−10.0");
        assert_eq!((volume(-0.3), area(-0.3), whole(-0.3)), ("0.00 cm³".into(), "0.0 cm²".into(), "0".into()));
        assert_eq!((whole(-1.6), angle(-0.01), tenths(-0.01)), ("−2".into(), "0".into(), "0.0".into()));
    }

    #[test]
    fn entries_show_what_was_typed() {
        assert_eq!([84.5, 12.7, 100.0, 0.0625].map(entry), ["84.5", "12.7", "100", "0.0625"]);
    }

    #[test]
    fn what_is_read_has_no_more_digits_than_say_something() {
        assert_eq!([123.456_78, 84.5, 0.0625, 0.004_23].map(length), ["123.46", "84.5", "0.063", "0.0042"]);
        assert_eq!([1.187_131_5, 25.4, 304.8, 0.0254, 1.0].map(factor), ["1.187", "25.4", "304.8", "0.0254", "1"]);
        assert_eq!([12_345.6, 0.0].map(factor), ["12345.6", "0"]);
    }

    #[test]
    fn small_sizes_are_told_with_two_digits_and_large_ones_in_whole_mm() {
        let told = |x, y, z| sizes(&Vector::new(x, y, z));
        assert_eq!(told(204.4, 191.2, 93.7), "204 × 191 × 94");
        assert_eq!(told(0.3171, 0.25, 0.0042), "0.32 × 0.25 × 0.0042");
        assert_eq!(told(300.0, 4.0, 3.25), "300 × 4 × 3.2");
        assert_eq!(told(40.0, 30.0, 0.0), "40 × 30 × 0");
    }

    #[test]
    fn large_numbers_are_grouped() {
        assert_eq!(grouped(1_234_567.0), "1\u{2009}234\u{2009}567");
        assert_eq!(grouped(100.0), "100");
        assert_eq!(count(1, "piece", "pieces"), "1 piece");
    }

    #[test]
    fn times_are_said_as_people_say_them() {
        let now = SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000);
        let said = [5, 61, 7_300, 200_000].map(|s| ago(now - Duration::from_secs(s), now));
        assert_eq!(said, ["just now", "1 min ago", "2 h ago", "2 days ago"]);
        assert_eq!(ago(now + Duration::from_secs(5), now), "just now");
    }
}
