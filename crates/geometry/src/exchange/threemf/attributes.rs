//! Attributes of an XML element, and the numbers in them.

use std::borrow::Cow;

/// Goes through `name="value"` pairs. quick-xml's own way through them checks for doublets, which takes longer than all
/// else on the millions of vertices of a file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Attributes<'a> {
    rest: &'a str,
}

impl<'a> Attributes<'a> {
    /// Of what stands behind an element's name.
    pub(super) fn new(raw: &'a str) -> Attributes<'a> {
        Attributes { rest: raw }
    }
}

impl<'a> Iterator for Attributes<'a> {
    /// Name and raw value, or what is wrong.
    type Item = Result<(&'a str, &'a str), String>;

    fn next(&mut self) -> Option<Self::Item> {
        let rest = self.rest.trim_ascii_start();
        if rest.is_empty() {
            return None;
        }
        self.rest = "";
        let pair = || {
            let (name, rest) = rest.split_once('=')?;
            let rest = rest.trim_ascii_start();
            let mark = *rest.as_bytes().first().filter(|b| matches!(b, b'"' | b'\''))?;
            let rest = &rest[1..];
            let end = memchr::memchr(mark, rest.as_bytes())?;
            Some((name.trim_ascii_end(), &rest[..end], &rest[end + 1..]))
        };
        match pair() {
            Some((name, value, rest)) => {
                self.rest = rest;
                Some(Ok((name, value)))
            }
            None => Some(Err("an attribute is not written as name=\"value\"".to_owned())),
        }
    }
}

/// A value with its character references resolved. References to anything else than characters are refused.
pub(super) fn text(raw: &str) -> Result<Cow<'_, str>, String> {
    quick_xml::escape::unescape(raw).map_err(|error| error.to_string())
}

/// A coordinate: the specification's ST_Number, which is a decimal number and neither infinite nor no number.
pub(super) fn number(raw: &str) -> Result<f64, String> {
    let number: Option<f64> = fast_float2::parse(raw.trim_ascii()).ok();
    number.filter(|number| number.is_finite()).ok_or_else(|| format!("{raw:?} is no finite decimal number"))
}

/// An identity or index: a whole number below 2³¹.
pub(super) fn whole(raw: &str) -> Result<u32, String> {
    let digits = raw.trim_ascii();
    let plain = digits.strip_prefix('+').unwrap_or(digits);
    let number = plain.parse::<u32>().ok().filter(|&number| number < 1 << 31);
    number.ok_or_else(|| format!("{raw:?} is no whole number from 0 to 2147483647"))
}

/// A colour, `#RRGGBB` or `#RRGGBBAA`.
pub(super) fn colour(raw: &str) -> Result<[u8; 4], String> {
    let fault = || format!("{raw:?} is no colour such as #RRGGBB");
    let digits = raw.trim_ascii().strip_prefix('#').filter(|digits| digits.is_ascii()).ok_or_else(fault)?;
    let mut colour = [255; 4];
    if digits.len() != 6 && digits.len() != 8 {
        return Err(fault());
    }
    for (channel, pair) in colour.iter_mut().zip(digits.as_bytes().chunks(2)) {
        let pair = std::str::from_utf8(pair).map_err(|_| fault())?;
        *channel = u8::from_str_radix(pair, 16).map_err(|_| fault())?;
    }
    Ok(colour)
}
