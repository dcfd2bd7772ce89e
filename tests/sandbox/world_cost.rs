//! What the picture costs: entities, draw calls, triangles, bytes of textures, on the largest real field and by level of
//! quality.

#[path = "../src/open_data.rs"]
#[allow(unreachable_pub, reason = "public in the harness, whose file this is")]
mod open_data;

use crate::{app, practice, scene};
use bevy::prelude::*;
use open_data::open_data;
use std::collections::BTreeSet;
use toeline_sandbox::view::daylight::Daylight;
use toeline_sandbox::view::glow::Glow;
use toeline_sandbox::view::hour::TimeOfDay;
use toeline_sandbox::view::quality::Quality;

/// What a scene is made of.
#[derive(Clone, Copy, Debug)]
struct Cost {
    /// Things with a mesh.
    entities: usize,
    /// Pairs of mesh and material: things that share both are drawn in one call.
    batches: usize,
    /// Triangles of all of them.
    triangles: usize,
    /// Bytes of vertices and indices of the distinct meshes.
    mesh_bytes: usize,
    /// Bytes of all images.
    image_bytes: usize,
}

fn cost(app: &mut App) -> Cost {
    let mut drawn: Vec<(AssetId<Mesh>, String)> = Vec::new();
    let mut solid = app.world_mut().query::<(&Mesh3d, &MeshMaterial3d<Daylight>)>();
    drawn.extend(solid.iter(app.world()).map(|(m, f)| (m.id(), format!("{:?}", f.id()))));
    let mut glow = app.world_mut().query::<(&Mesh3d, &MeshMaterial3d<Glow>)>();
    drawn.extend(glow.iter(app.world()).map(|(m, f)| (m.id(), format!("{:?}", f.id()))));
    let with_mesh = app.world_mut().query::<&Mesh3d>().iter(app.world()).count();
    assert_eq!(
        with_mesh,
        drawn.len(),
        "a mesh with a material of another kind was not counted"
    );
    let meshes = app.world().resource::<Assets<Mesh>>();
    let triangles = |id: &AssetId<Mesh>| {
        let mesh = meshes.get(*id).expect("a mesh");
        mesh.indices().map_or(0, |i| i.len() / 3)
    };
    let bytes = |id: &AssetId<Mesh>| {
        let mesh = meshes.get(*id).expect("a mesh");
        mesh.get_vertex_buffer_size() + mesh.indices().map_or(0, |i| i.len() * 4)
    };
    let images = app.world().resource::<Assets<Image>>();
    Cost {
        entities: drawn.len(),
        batches: drawn.iter().collect::<BTreeSet<_>>().len(),
        triangles: drawn.iter().map(|(id, _)| triangles(id)).sum(),
        mesh_bytes: drawn
            .iter()
            .map(|(id, _)| *id)
            .collect::<BTreeSet<_>>()
            .iter()
            .map(bytes)
            .sum(),
        image_bytes: images.iter().map(|(_, i)| i.data.as_ref().map_or(0, Vec::len)).sum(),
    }
}

/// Named things by how many triangles they are made of, all of a name together.
fn largest(app: &mut App) -> Vec<(String, usize, usize)> {
    let mut sums: std::collections::BTreeMap<String, (usize, usize)> = std::collections::BTreeMap::new();
    let mut query = app.world_mut().query::<(&Name, &Mesh3d)>();
    for (name, mesh) in query.iter(app.world()) {
        let mesh = app.world().resource::<Assets<Mesh>>().get(mesh.id()).expect("a mesh");
        let sum = sums.entry(name.to_string()).or_default();
        sum.0 = mesh.indices().map_or(0, |i| i.len() / 3);
        sum.1 += 1;
    }
    let mut list: Vec<_> = sums
        .into_iter()
        .map(|(name, (each, count))| (name, each, count))
        .collect();
    list.sort_by_key(|(_, each, count)| std::cmp::Reverse(each * count));
    list
}

#[test]
fn the_largest_real_fields_stay_within_the_budget() {
    // By number of taxi ways the first is the largest; the others have more buildings, trees or holding positions for them.
    for file in [
        "airfields/hubs/eddf-frankfurt-2023-08.geojson",
        "airfields/hubs/eham-schiphol-2023-08.geojson",
        "airfields/hubs/lebl-barcelona-2023-08.geojson",
        "airfields/malta/malta-airfield.geojson",
        "airfields/isle-of-man/by-airfield/egns-isle-of-man-airport.geojson",
    ] {
        let Some(path) = open_data(file) else { return };
        let text = std::fs::read_to_string(path).expect("the file can be read");
        let field = toeline_engine::read::read(&text).expect("a field").field;
        assert!(field.lanes.len() > 50, "{file} has {} taxi ways", field.lanes.len());
        let mut app = app(scene(field), TimeOfDay::Night, Quality::Medium);
        let c = cost(&mut app);
        println!("{file}: {c:?}");
        for (name, triangles, count) in largest(&mut app).into_iter().take(4) {
            println!("  {count} x {name}: {triangles} triangles each");
        }
        assert!(c.entities <= MOST_ENTITIES, "{file}: {c:?}");
        assert!(c.batches <= MOST_BATCHES, "{file}: {c:?}");
        assert!(c.triangles <= MOST_TRIANGLES, "{file}: {c:?}");
        assert!(c.mesh_bytes <= MOST_MESH_BYTES, "{file}: {c:?}");
        assert!(c.image_bytes <= MOST_IMAGE_BYTES, "{file}: {c:?}");
    }
}

// Measured at the largest: 939 things, 35 draw calls, 0.56 million triangles, 34.5 MB of meshes, 0.35 MB of images; about a
// seventh more is allowed, so that a careless addition fails. A fifth of the triangles are the 448 aeroplanes on stands, which
// share one plain mesh far from the eye and one in full near it; only those in view are drawn. Draw calls may grow by three for
// every further span limit. The limits are ours: small enough for the graphics part of an office computer, whose memory is
// counted in gigabytes and whose slow part is the number of calls.
const MOST_ENTITIES: usize = 1_050;
const MOST_BATCHES: usize = 60;
const MOST_TRIANGLES: usize = 640_000;
const MOST_MESH_BYTES: usize = 40_000_000;
const MOST_IMAGE_BYTES: usize = 400_000;

#[test]
fn low_quality_has_none_of_the_costly_things() {
    let of = |quality: Quality| {
        let mut app = app(scene(practice::field()), TimeOfDay::Night, quality);
        cost(&mut app)
    };
    let (low, medium, high) = (of(Quality::Low), of(Quality::Medium), of(Quality::High));
    println!("low {low:?}\nmedium {medium:?}\nhigh {high:?}");
    assert_eq!(low.image_bytes, 0, "no grain on the ground");
    assert!(medium.image_bytes > 0);
    assert!(low.triangles < medium.triangles && medium.triangles < high.triangles);
    assert!(low.batches <= medium.batches);
    assert!(!Quality::Low.shadows() && !Quality::Low.smooth_edges() && !Quality::Medium.shadows());
    // What a pilot has to see is there at every level: the same signs, paint, obstacles and aeroplanes, so as many things.
    assert!(medium.entities - low.entities <= 1, "only the stars are left out");
}

#[test]
fn a_parked_aeroplane_is_drawn_in_full_near_the_eye_and_plainly_far_from_it() {
    let mut app = app(scene(practice::field()), TimeOfDay::Day, Quality::Medium);
    let mut query = app.world_mut().query::<(&Name, &Transform, &Mesh3d)>();
    let (place, plain) = query
        .iter(app.world())
        .find(|(name, ..)| name.as_str() == "parked aeroplane")
        .map(|(_, at, mesh)| (at.translation, mesh.id()))
        .expect("an aeroplane on a stand");
    let shown = |app: &mut App, away_m: f32| {
        let at = GlobalTransform::from_translation(place + Vec3::new(away_m, 2.0, 0.0));
        let mut eyes = app.world_mut().query_filtered::<Entity, With<Camera3d>>();
        let old: Vec<Entity> = eyes.iter(app.world()).collect();
        for eye in old {
            app.world_mut().despawn(eye);
        }
        app.world_mut().spawn((Camera3d::default(), at));
        app.update();
        let mut query = app.world_mut().query::<(&Name, &Transform, &Mesh3d)>();
        let found = query
            .iter(app.world())
            .find(|(name, at, _)| name.as_str() == "parked aeroplane" && at.translation == place);
        found.map(|(.., mesh)| mesh.id()).expect("it is still there")
    };
    assert_eq!(shown(&mut app, 500.0), plain);
    let full = shown(&mut app, 60.0);
    assert_ne!(full, plain);
    // Between the two distances nothing changes, so that none flickers.
    assert_eq!(shown(&mut app, 150.0), full);
    assert_eq!(shown(&mut app, 170.0), plain);
    assert_eq!(shown(&mut app, 150.0), plain);
    // The same aeroplane: as wide, as long and as high, to a hand's length.
    let meshes = app.world().resource::<Assets<Mesh>>();
    let extent = |id| {
        let mesh = meshes.get(id).expect("a mesh");
        let at = mesh.attribute(Mesh::ATTRIBUTE_POSITION).and_then(|a| a.as_float3());
        let at = at.expect("positions").iter().map(|p| Vec3::from(*p));
        let [low, high] = at.fold([Vec3::INFINITY, Vec3::NEG_INFINITY], |[l, h], p| [l.min(p), h.max(p)]);
        (low, high, mesh.indices().map_or(0, |i| i.len() / 3))
    };
    let (a, b) = (extent(full), extent(plain));
    println!("full {a:?}\nplain {b:?}");
    assert!(a.0.distance(b.0) < 0.2 && a.1.distance(b.1) < 0.2, "{a:?} {b:?}");
    assert!(b.2 * 5 < a.2, "{} of {} triangles", b.2, a.2);
}
