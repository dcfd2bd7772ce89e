//! A fine grey grain that is laid over all ground, so that movement can be seen. Made here, from a fixed seed.

use bevy::asset::RenderAssetUsages;
use bevy::image::{ImageAddressMode, ImageFilterMode, ImageSampler, ImageSamplerDescriptor};
use bevy::prelude::*;
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};

const SIDE: usize = 256;

/// A repeatable value 0..1 for a pair of whole numbers.
pub fn scatter(x: i64, y: i64) -> f32 {
    let mut h = (x as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (y as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F);
    h = (h ^ (h >> 31)).wrapping_mul(0xD6E8_FEB8_6659_FD93);
    h ^= h >> 32;
    (h & 0xFFFF) as f32 / 65536.0
}

/// Smooth scatter that repeats after `period` cells.
fn soft(x: f32, y: f32, period: i64, seed: i64) -> f32 {
    let (i, j) = (x.floor(), y.floor());
    let (u, v) = (x - i, y - j);
    let cell = |a: i64, b: i64| scatter(a.rem_euclid(period) + seed * 1000, b.rem_euclid(period));
    let (i, j) = (i as i64, j as i64);
    let low = cell(i, j) * (1.0 - u) + cell(i + 1, j) * u;
    let high = cell(i, j + 1) * (1.0 - u) + cell(i + 1, j + 1) * u;
    low * (1.0 - v) + high * v
}

/// The grain with all its smaller copies, so that it does not shimmer far away.
pub fn grain() -> Image {
    let mut level: Vec<f32> = (0..SIDE * SIDE)
        .map(|i| {
            let (x, y) = ((i % SIDE) as f32 / SIDE as f32, (i / SIDE) as f32 / SIDE as f32);
            let coarse = soft(x * 8.0, y * 8.0, 8, 1);
            let middle = soft(x * 40.0, y * 40.0, 40, 2);
            let fine = scatter((i % SIDE) as i64, (i / SIDE) as i64 + 5000);
            0.80 + 0.20 * (0.4 * coarse + 0.35 * middle + 0.25 * fine)
        })
        .collect();
    let (mut side, mut levels, mut data) = (SIDE, 0, Vec::new());
    loop {
        for v in &level {
            let byte = (v * 255.0) as u8;
            data.extend([byte, byte, byte, 255]);
        }
        levels += 1;
        if side == 1 {
            break;
        }
        let half = side / 2;
        level = (0..half * half)
            .map(|i| {
                let at = (i / half * 2) * side + i % half * 2;
                (level[at] + level[at + 1] + level[at + side] + level[at + side + 1]) / 4.0
            })
            .collect();
        side = half;
    }
    let size = Extent3d {
        width: SIDE as u32,
        height: SIDE as u32,
        depth_or_array_layers: 1,
    };
    let format = TextureFormat::Rgba8Unorm;
    let mut image = Image::new_uninit(size, TextureDimension::D2, format, RenderAssetUsages::RENDER_WORLD);
    image.texture_descriptor.mip_level_count = levels;
    image.data = Some(data);
    image.sampler = ImageSampler::Descriptor(ImageSamplerDescriptor {
        address_mode_u: ImageAddressMode::Repeat,
        address_mode_v: ImageAddressMode::Repeat,
        mag_filter: ImageFilterMode::Linear,
        min_filter: ImageFilterMode::Linear,
        mipmap_filter: ImageFilterMode::Linear,
        ..default()
    });
    image
}
