// Everything solid: vertex colour, ground grain, sun and sky, two lamps, haze. Much cheaper than a physically based
// material, which matters where no graphics card helps.
#import bevy_pbr::forward_io::VertexOutput
#import bevy_pbr::mesh_view_bindings::view
#import bevy_pbr::shadows

// Metres of ground that one tile of the ground grain covers.
const GRAIN_M: f32 = 9.0;

struct Daylight {
    // Colour of the haze (linear) and its density, 1/m.
    haze: vec4<f32>,
    // Direction toward sun or moon.
    toward_sun: vec4<f32>,
    // Its light; w is 1 when shadows are cast.
    sun: vec4<f32>,
    // The sky's light, and how much of it comes from above only.
    sky: vec4<f32>,
    // Place of the lamps, and strength of the taxi light.
    lamp_at: vec4<f32>,
    // Direction of the taxi light, and cosine of half its opening.
    taxi: vec4<f32>,
    // Direction of the landing light, and its strength.
    landing: vec4<f32>,
    // Least light, and opacity.
    own: vec4<f32>,
}

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> daylight: Daylight;
@group(#{MATERIAL_BIND_GROUP}) @binding(1) var grain: texture_2d<f32>;
@group(#{MATERIAL_BIND_GROUP}) @binding(2) var grain_sampler: sampler;

// Light of a lamp at a distance along `way`, softer with distance than 1/r²: an eye gets used to the dark beyond.
fn beam(way: vec3<f32>, normal: vec3<f32>, toward: vec3<f32>, edge: f32, half_at_m: f32) -> f32 {
    let away = max(length(way), 0.05);
    let along = way / away;
    let cone = smoothstep(edge, mix(edge, 1.0, 0.55), dot(along, toward));
    let facing = 0.30 + 0.70 * max(dot(normal, -along), 0.0);
    let share = away / half_at_m;
    return cone * facing / (1.0 + share * share);
}

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    let grained = in.color.rgb * textureSample(grain, grain_sampler, in.world_position.xz / GRAIN_M).rgb;
    let normal = in.world_normal;
    var sun = max(dot(normal, daylight.toward_sun.xyz), 0.0);
    if daylight.sun.w > 0.5 && sun > 0.0 {
        let depth = dot(
            vec4<f32>(view.view_from_world[0].z, view.view_from_world[1].z, view.view_from_world[2].z, view.view_from_world[3].z),
            in.world_position,
        );
        sun *= shadows::fetch_directional_shadow(0u, in.world_position, normal, depth, in.position.xy);
    }
    var light = daylight.sky.rgb * (1.0 - daylight.sky.w * (1.0 - normal.y)) + daylight.sun.rgb * sun;
    if daylight.lamp_at.w + daylight.landing.w > 0.0 {
        let way = in.world_position.xyz - daylight.lamp_at.xyz;
        let taxi = daylight.lamp_at.w * beam(way, normal, daylight.taxi.xyz, daylight.taxi.w, 20.0);
        let landing = daylight.landing.w * beam(way, normal, daylight.landing.xyz, 0.982, 45.0);
        light += vec3<f32>(1.0, 0.94, 0.82) * (taxi + landing);
    }
    let lit = grained * max(light, vec3<f32>(daylight.own.x));
    let away = distance(view.world_position, in.world_position.xyz);
    return vec4<f32>(mix(daylight.haze.rgb, lit, exp(-away * daylight.haze.w)), in.color.a * daylight.own.y);
}
