// Everything solid: vertex colour, ground grain, one sun, haze. Much cheaper than a physically based material, which
// matters where no graphics card helps.
#import bevy_pbr::forward_io::VertexOutput
#import bevy_pbr::mesh_view_bindings::view

struct Daylight {
    // Colour of the haze (linear) and its density, 1/m.
    haze: vec4<f32>,
    // Direction toward the sun and the strength of its light; strength 0 for what is not shaded.
    sun: vec4<f32>,
    // Strength of the sky's light, and how much of it comes from above only.
    sky: vec4<f32>,
}

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> daylight: Daylight;
@group(#{MATERIAL_BIND_GROUP}) @binding(1) var grain: texture_2d<f32>;
@group(#{MATERIAL_BIND_GROUP}) @binding(2) var grain_sampler: sampler;

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    let grained = in.color.rgb * textureSample(grain, grain_sampler, in.uv).rgb;
    let facing_sun = max(dot(in.world_normal, daylight.sun.xyz), 0.0);
    let from_sky = daylight.sky.x * (1.0 - daylight.sky.y * (1.0 - in.world_normal.y));
    let lit = grained * (from_sky + daylight.sun.w * facing_sun);
    let away = distance(view.world_position, in.world_position.xyz);
    return vec4<f32>(mix(daylight.haze.rgb, lit, exp(-away * daylight.haze.w)), 1.0);
}
