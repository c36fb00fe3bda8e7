//! Beds as they are typed.

use seamwright_geometry::Bed;

/// Reads `WxDxH` in millimetres, such as `220x220x250`.
pub fn parse(text: &str) -> Result<Bed, String> {
    let numbers: Vec<f64> = text
        .split(['x', 'X', '×'])
        .map(|part| part.trim().parse().map_err(|_| format!("\"{}\" is not a number; {EXAMPLE}", part.trim())))
        .collect::<Result<_, String>>()?;
    let [width, depth, height] = numbers[..] else {
        return Err(format!("a bed is three numbers and here are {}; {EXAMPLE}", numbers.len()));
    };
    let bed = Bed::rectangle(width, depth, height);
    bed.check().map_err(|error| error.to_string())?;
    Ok(bed)
}

const EXAMPLE: &str = "width, depth and height look like 220x220x250";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bed_is_width_depth_and_height() {
        assert_eq!(parse("220x210x250.5"), Ok(Bed::rectangle(220.0, 210.0, 250.5)));
        assert_eq!(parse("220 × 210 × 250"), Ok(Bed::rectangle(220.0, 210.0, 250.0)));
    }

    #[test]
    fn what_is_no_bed_is_refused_with_what_would_be_one() {
        assert!(parse("220x220").unwrap_err().contains("here are 2"));
        assert!(parse("220x220xhigh").unwrap_err().contains("\"high\" is not a number"));
        assert!(parse("220").unwrap_err().contains("look like"));
        assert!(parse("0x220x250").unwrap_err().contains("width must be more than 0"));
        assert!(parse("220x-220x250").unwrap_err().contains("depth must be more than 0"));
        assert!(parse("220x220xinf").unwrap_err().contains("height must be more than 0"));
        assert!(parse("220x220xNaN").unwrap_err().contains("height"));
    }
}
