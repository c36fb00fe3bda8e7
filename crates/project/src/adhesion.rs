//! What is printed around or under a piece to hold it on the bed, and how much room that takes.

/// Room for what holds a piece of one material on the bed, mm. Generic values, see the table in `assets/tables`.
#[derive(Clone, Debug, PartialEq)]
pub struct Adhesion {
    /// The material, in small letters.
    pub name: String,
    /// A skirt reaches out so far from the piece.
    pub skirt_mm: f64,
    /// A brim reaches out so far.
    pub brim_mm: f64,
    /// A raft reaches out so far.
    pub raft_around_mm: f64,
    /// A raft is so high.
    pub raft_height_mm: f64,
}

const TABLE: &str = include_str!("../../../assets/tables/bed_adhesion.csv");

/// All materials of the table, in its order.
pub fn all() -> Vec<Adhesion> {
    let lines = TABLE.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines.filter_map(read).collect()
}

/// A material by its name, in letters of either size; `None` for one that is not in the table.
pub fn of(name: &str) -> Option<Adhesion> {
    all().into_iter().find(|material| material.name.eq_ignore_ascii_case(name.trim()))
}

fn read(line: &str) -> Option<Adhesion> {
    let mut fields = line.split(',');
    let name = fields.next()?.to_owned();
    let mut number = || fields.next()?.parse::<f64>().ok();
    Some(Adhesion {
        name,
        skirt_mm: number()?,
        brim_mm: number()?,
        raft_around_mm: number()?,
        raft_height_mm: number()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_table_is_read_and_makes_sense() {
        let lines = TABLE.lines().filter(|line| !line.starts_with('#')).count() - 1;
        assert_eq!(all().len(), lines);
        for material in all() {
            let numbers = [material.skirt_mm, material.brim_mm, material.raft_around_mm, material.raft_height_mm];
            assert!(numbers.iter().all(|mm| (0.5..=20.0).contains(mm)), "{material:?}");
        }
        assert_eq!(of(" PETG "), of("petg"));
        assert_eq!(of("cheese"), None);
    }
}
