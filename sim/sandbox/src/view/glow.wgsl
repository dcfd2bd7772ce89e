// Lamps as soft squares toward the eye, never smaller than a few pixels.
#import bevy_pbr::forward_io::{Vertex, VertexOutput}
#import bevy_pbr::mesh_functions
#import bevy_pbr::mesh_view_bindings::view
#import bevy_pbr::view_transformations::position_world_to_clip

struct Glow {
    // Strength, and least half side in pixels.
    how: vec4<f32>,
}

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> glow: Glow;

@vertex
fn vertex(in: Vertex) -> VertexOutput {
    var out: VertexOutput;
    let world_from_local = mesh_functions::get_world_from_local(in.instance_index);
    let at = mesh_functions::mesh_position_local_to_world(world_from_local, vec4<f32>(in.position, 1.0)).xyz;
    let beam = (world_from_local * vec4<f32>(in.normal, 0.0)).xyz;
    let to_eye = view.world_position - at;
    let away = max(length(to_eye), 0.01);
    let radius = in.color.a;
    // A little toward the eye, so that the ground in front of a lamp does not cut its glow.
    let clip = position_world_to_clip(at + to_eye / away * min(radius * 2.0, away * 0.5));
    let real = radius * view.clip_from_view[1][1] / max(clip.w, 0.01);
    let least = glow.how.y * 2.0 / view.viewport.w;
    let side = max(real, least);
    out.position = clip;
    out.position.x += in.uv.x * side * clip.w * view.viewport.w / view.viewport.z;
    out.position.y += in.uv.y * side * clip.w;
    // What is drawn larger than it is, is drawn fainter, but not to nothing: the haze of the night does the rest.
    var strength = glow.how.x * mix(1.0, clamp(real / least, 0.25, 1.0), 0.7) * exp(-away * 0.00035);
    if dot(beam, beam) > 0.0 {
        strength *= smoothstep(-0.05, 0.35, dot(normalize(beam), to_eye / away));
    }
    out.world_position = vec4<f32>(at, 1.0);
    out.world_normal = vec3<f32>(0.0, 1.0, 0.0);
    out.uv = in.uv;
    out.color = vec4<f32>(in.color.rgb * strength, 0.0);
    return out;
}

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    let rim = clamp(1.0 - length(in.uv), 0.0, 1.0);
    let core = smoothstep(0.62, 0.85, rim);
    // A white heart in a coloured glow.
    let tint = mix(in.color.rgb, vec3<f32>(length(in.color.rgb)), core * 0.35);
    return vec4<f32>(tint * (0.45 * rim * rim + core), 0.0);
}
