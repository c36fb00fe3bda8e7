//! Whether two scenes look the same, told by numbers.

use std::hash::{DefaultHasher, Hash, Hasher};

use seamwright_geometry::Bed;

use super::scene::Scene;

impl Scene {
    /// Equal keys promise an equal picture of the meshes, the cut, the outlines and the bed, from the same camera.
    /// Labels, dimensions and picked points are not part of it: they are drawn anew over the picture.
    pub fn picture_key(&self) -> u64 {
        let mut h = DefaultHasher::new();
        (
            self.drawn.len(),
            self.cut.is_some(),
            self.outlines.len(),
            self.pencil.len(),
            self.grazes.len(),
            self.lit.len(),
            self.bed.is_some(),
            self.pointed.is_some(),
        )
            .hash(&mut h);
        for d in &self.drawn {
            (d.body.revision(), d.tone, d.emphasis, d.follows_cut, d.side_tones, d.apart).hash(&mut h);
            hash_numbers(&mut h, d.offset.as_slice());
            if let Some(held) = &d.held_against {
                hash_bed(&mut h, &held.bed);
                hash_numbers(&mut h, held.bed_from_piece.to_homogeneous().as_slice());
            }
        }
        if let Some(cut) = &self.cut {
            (cut.below, cut.above).hash(&mut h);
            hash_numbers(&mut h, cut.plane.normal().as_slice());
            hash_numbers(&mut h, cut.anchor.coords.as_slice());
            hash_numbers(&mut h, cut.around.min.coords.as_slice());
            hash_numbers(&mut h, cut.around.max.coords.as_slice());
            hash_numbers(&mut h, &[cut.plane.offset_mm()]);
        }
        for line in [&self.outlines, &self.pencil, &self.grazes, &self.lit].into_iter().flat_map(|lines| lines.iter()) {
            line.len().hash(&mut h);
            line.iter().for_each(|p| hash_numbers(&mut h, p.coords.as_slice()));
        }
        if let Some(under) = &self.bed {
            hash_bed(&mut h, &under.bed);
            hash_numbers(&mut h, under.corner.coords.as_slice());
        }
        h.finish()
    }

    /// Equal keys promise an equal shadow on the bed.
    pub fn shadow_key(&self) -> u64 {
        let mut h = DefaultHasher::new();
        for d in self.drawn.iter().filter(|d| d.is_solid()) {
            d.body.revision().hash(&mut h);
            hash_numbers(&mut h, d.offset.as_slice());
        }
        if let Some(under) = &self.bed {
            hash_numbers(&mut h, &under.bed.size_mm());
            hash_numbers(&mut h, under.corner.coords.as_slice());
        }
        h.finish()
    }
}

fn hash_bed(h: &mut DefaultHasher, bed: &Bed) {
    for line in bed.keep_outs.iter().map(|zone| &zone.corners_mm).chain([&bed.drawn_outline_mm()]) {
        line.len().hash(h);
        hash_numbers(h, line.as_flattened());
    }
    bed.keep_outs.iter().for_each(|zone| hash_numbers(h, &[zone.from_mm]));
    hash_numbers(h, &[bed.height_mm, bed.margin_mm, bed.around_mm, bed.raft_mm]);
}

fn hash_numbers(h: &mut DefaultHasher, numbers: &[f64]) {
    numbers.iter().for_each(|n| n.to_bits().hash(h));
}
