use seamwright_geometry::exchange::read_stl;
use seamwright_geometry::{Progress, inspect};
#[test]
fn look() {
    let folder = std::env::var("SEAMWRIGHT_MESHES").unwrap();
    let mut names: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    names.sort();
    for path in names.iter().filter(|p| p.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl"))) {
        match read_stl(path, &Progress::new()) {
            Err(e) => println!("{e}"),
            Ok(r) => {
                let h = inspect(&r.mesh);
                println!(
                    "{} facets {} collapsed {} odd {} trailing {} | tri {} v {} shells {} closed {} vol {:.4e} size {:.5?} open {} over {} mist {} zero {} dup {} euler {} inward {}",
                    path.file_name().unwrap().to_string_lossy(),
                    r.facets,
                    r.collapsed,
                    r.set_aside_not_finite,
                    r.trailing_bytes,
                    h.triangles,
                    h.vertices,
                    h.shells.len(),
                    h.closed,
                    h.volume_mm3,
                    h.bounds.unwrap().size().as_slice(),
                    h.open_edges,
                    h.over_used_edges,
                    h.misturned_edges,
                    h.zero_area_faces,
                    h.duplicate_faces,
                    h.euler,
                    h.shells.iter().filter(|s| s.turned_inwards()).count()
                );
            }
        }
    }
}
