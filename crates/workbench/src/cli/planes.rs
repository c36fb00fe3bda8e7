//! Planes as they are typed.

use seamwright_geometry::{Plane, Vector};

/// Reads `NX,NY,NZ,OFFSET`: the plane where `NX·x + NY·y + NZ·z = OFFSET`, in millimetres.
pub fn parse(text: &str) -> Result<Plane, String> {
    let numbers: Vec<f64> = text
        .split(',')
        .map(|part| part.trim().parse().map_err(|_| format!("\"{}\" is not a number; {EXAMPLE}", part.trim())))
        .collect::<Result<_, String>>()?;
    let [x, y, z, offset] = numbers[..] else {
        return Err(format!("a plane is four numbers and here are {}; {EXAMPLE}", numbers.len()));
    };
    Plane::new(Vector::new(x, y, z), offset).map_err(|error| error.to_string())
}

const EXAMPLE: &str = "NX,NY,NZ,OFFSET looks like 0,0,1,84.5";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plane_is_its_normal_and_its_offset() {
        let plane = parse("0,0,1,-12.5").unwrap();
        assert_eq!((plane.normal(), plane.offset_mm()), (Vector::z(), -12.5));
    }

    #[test]
    fn the_offset_belongs_to_the_normal_as_typed() {
        // 2z = 10 is z = 5.
        let plane = parse(" 0, 0, 2, 10 ").unwrap();
        assert_eq!((plane.normal(), plane.offset_mm()), (Vector::z(), 5.0));
    }

    #[test]
    fn what_is_no_plane_is_refused_with_what_would_be_one() {
        assert!(parse("0,0,1").unwrap_err().contains("here are 3"));
        assert!(parse("0,0,1,2,3").unwrap_err().contains("here are 5"));
        assert!(parse("0,0,up,2").unwrap_err().contains("\"up\" is not a number"));
        assert!(parse("").unwrap_err().contains("looks like"));
        assert!(parse("0,0,0,2").unwrap_err().contains("points nowhere"));
        assert!(parse("0,0,NaN,2").unwrap_err().contains("finite"));
        assert!(parse("0,0,1,inf").unwrap_err().contains("finite"));
    }
}
