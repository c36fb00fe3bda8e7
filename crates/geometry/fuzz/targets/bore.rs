//! Bores anything along any line: no panic, bounded output, and the laws where the stock is sound.
#![no_main]

use libfuzzer_sys::fuzz_target;
use seamwright_geometry::bore::{BoreError, Channel, End, SectionShape, bore};
use seamwright_geometry::{FaceOrigin, Point, Progress, Vector, edge_report};
use seamwright_geometry_fuzz::{Input, assert_in_order, is_sound, most_faces};

/// Two or three places on a lattice of halves, or a place and the normal of a plane.
type Line = [[i8; 3]; 3];

fuzz_target!(|input: (Input, Line, u8, u8)| {
    let (input, line, choice, size) = input;
    let Some(stock) = input.solid() else { return };
    let place = |p: [i8; 3]| Point::from(p.map(|x| f64::from(x % 24) / 4.0));
    let plane = input.planes(&stock.mesh).next();
    let line = match (choice % 4, plane) {
        (0, _) => line.map(place).to_vec(),
        (1, Some(plane)) => {
            let through = stock.mesh.vertices.first().copied().unwrap_or_else(Point::origin);
            vec![through, through + plane.normal()]
        }
        _ => vec![place(line[0]), place(line[1])],
    };
    let mm = f64::from(size % 32 + 1) / 4.0;
    let shape = match (choice >> 2) % 5 {
        0 => SectionShape::Round { diameter_mm: mm, sides: 8 },
        1 => SectionShape::Teardrop { diameter_mm: mm, sides: 9 },
        2 => SectionShape::Square { across_flats_mm: mm },
        3 => SectionShape::Slit { diameter_mm: mm, sides: 8, reach_mm: 9.0 },
        _ => SectionShape::Hexagon { across_flats_mm: mm },
    };
    let end = |bit: u8| if choice & bit == 0 { End::Open } else { End::At };
    let Ok(channel) = Channel::new(line, shape, [end(64), end(128)]) else { return };
    let channel = if size & 32 == 0 { channel } else { channel.with_up(Vector::new(1.0, 1.0, 0.0)) };
    match bore(&stock, &channel, 1, &Progress::new()) {
        Ok(bored) => {
            assert_in_order(&bored.solid);
            // A facet meets every face at most, and neither is divided into more parts than those that meet it.
            assert!(bored.solid.mesh.triangles.len() <= most_faces(stock.mesh.triangles.len() + 100));
            if !is_sound(&stock) {
                return;
            }
            assert!(edge_report(&bored.solid.mesh).closed(), "open: {:?}", edge_report(&bored.solid.mesh));
            let extent = stock.mesh.bounds().map_or(0.0, |b| b.diagonal());
            let less = stock.mesh.volume_mm3() - bored.solid.mesh.volume_mm3();
            let off = stock.resolution.on_plane_mm * (extent + mm).powi(2) * 100.0;
            assert!((less - bored.removed_mm3).abs() <= off, "{less} missing, {} taken away", bored.removed_mm3);
            let walls = bored.solid.origins.iter().any(|origin| *origin == FaceOrigin::bore(1));
            assert!(walls || bored.entries.is_empty());
        }
        Err(BoreError::Cancelled(cancelled)) => panic!("nobody cancelled, but it is {cancelled}"),
        Err(BoreError::Open { .. }) => {
            assert!(!edge_report(&stock.mesh).closed(), "a closed solid is said to be open");
        }
        Err(BoreError::Refused { .. }) => {}
    }
});
