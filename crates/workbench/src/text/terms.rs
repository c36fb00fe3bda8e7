//! Words of the trade, explained once: for the manual, and for what is said when the pointer rests on one.

/// A word and what it means here.
#[derive(Clone, Copy, Debug)]
pub struct Term {
    /// The word.
    pub word: &'static str,
    /// What it means, in a sentence or two.
    pub means: &'static str,
}

const fn term(word: &'static str, means: &'static str) -> Term {
    Term { word, means }
}

pub const BED: Term =
    term("bed", "What a printer can fill: an outline and a height, less what you leave free around it.");
pub const BORE: Term = term(
    "bore",
    "A channel for a rod through the model, made before the cuts so that it lines up through every piece.",
);
pub const BRIM: Term = term(
    "brim",
    "A thin flat rim printed around the foot of a piece and torn off afterwards: it keeps corners from coming loose.",
);
pub const CAP: Term =
    term("cap", "The face that closes a piece where it was cut. Both caps of a seam are the same to the last bit.");
pub const CAVITY: Term =
    term("cavity", "A closed surface inside another: the hollow of a hollow model. It goes with the solid around it.");
pub const CLEARANCE: Term = term(
    "clearance",
    "Room left on purpose between two things that go into each other, told as a difference of diameters.",
);
pub const CLOSED: Term = term(
    "closed",
    "Without a hole in its surface: every edge joins two faces. Only a closed piece has an inside to fill.",
);
pub const COSTUME: Term = term("costume", "Several projects that belong together.");
pub const CRUMB: Term =
    term("crumb", "A piece so little that nobody means it: what a cut leaves that only just grazes the surface.");
pub const CUT: Term =
    term("cut", "One parting of the model: along a plane, or along a line drawn straight through it.");
pub const EXPLODED: Term =
    term("exploded", "Drawn apart along the seams, to be looked at; nothing is moved in the model.");
pub const FACE: Term = term("face", "One triangle of the model's surface. The more there are, the finer is its form.");
pub const FIT: Term = term(
    "fit",
    "Whether a piece goes onto the bed: as it stands, turned about the vertical, tilted, or too big and by how much.",
);
pub const JOINT: Term =
    term("joint", "What lines two pieces up and holds them together at a seam: a rod across it, magnets in both.");
pub const KERF: Term = term("kerf", "The width that a cut takes away, as a saw blade does, mm; 0 for none.");
pub const KIT: Term =
    term("kit", "What leaves the program: the pieces to print, and a list that says where each belongs.");
pub const LAY: Term = term("lay", "The pose in which a piece lies on the bed when it is printed.");
pub const MARK: Term =
    term("mark", "The short name of a piece, such as A2: a letter for the part, a number for the piece.");
pub const MEND: Term =
    term("mend", "A step that puts right what is wrong with the model's surface. It can be switched off again.");
pub const NOTE: Term =
    term("note", "Something the program noticed, with a place to go to and sometimes a way to mend it.");
pub const OFFSET: Term = term("offset", "How far a cut lies from the origin, along its axis.");
pub const PIECE: Term = term("piece", "One solid to print. It keeps its identity while you change cuts elsewhere.");
pub const RAFT: Term = term(
    "raft",
    "A slab of a few coarse layers printed beneath a piece and broken off afterwards, where it would not hold by itself.",
);
pub const RELIEF: Term = term(
    "relief",
    "Room made in one shell for another that crosses it or sits too close, so that they go together again.",
);
pub const ROD: Term =
    term("rod", "What goes into a bore: threaded rod, dowel, steel rod or tube, always told by its diameter.");
pub const SCOPE: Term = term("scope", "What a cut may part: all that it crosses, or only the pieces that you name.");
pub const SEAM: Term = term("seam", "Where two pieces meet again when they are glued.");
pub const SHELL: Term =
    term("shell", "One connected surface of the model. It is kept, set aside as a loose part, or dropped.");
pub const SIZE: Term =
    term("size", "How large the model is: the unit of its file, and by how much it was made larger or smaller.");
pub const SKIRT: Term = term(
    "skirt",
    "A line printed once around a piece without touching it, so that the plastic flows before the piece begins.",
);
pub const SLACK: Term = term("slack", "How much room is left on the bed around a piece that fits, at its tightest.");
pub const STANCE: Term = term("stance", "How the model stands: mirrored or not, and on which face.");
pub const STOCK: Term = term("stock", "The model that the pieces are cut from, as it was read from its file or files.");
pub const TILT: Term =
    term("tilt", "How far a cut leans from square to its axis, in degrees, about the two other axes.");
pub const VERDICT: Term =
    term("verdict", "What was found about fit. Too big is said only where it is proven that no pose helps.");
pub const VOLUME: Term = term("volume", "How much room the material of a piece takes if it is printed solid.");

/// All words, in the order of the alphabet.
pub const TERMS: &[Term] = &[
    BED, BORE, BRIM, CAP, CAVITY, CLEARANCE, CLOSED, COSTUME, CRUMB, CUT, EXPLODED, FACE, FIT, JOINT, KERF, KIT, LAY,
    MARK, MEND, NOTE, OFFSET, PIECE, RAFT, RELIEF, ROD, SCOPE, SEAM, SHELL, SIZE, SKIRT, SLACK, STANCE, STOCK, TILT,
    VERDICT, VOLUME,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_explained_once_in_the_order_of_the_alphabet_and_in_a_sentence() {
        assert!(TERMS.windows(2).all(|pair| pair[0].word < pair[1].word));
        assert!(TERMS.iter().all(|term| term.means.ends_with('.') && term.means.len() > 20));
    }
}
