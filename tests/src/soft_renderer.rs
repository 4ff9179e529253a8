//! Draws the window on the processor: triangles filled one by one, so that pictures need no graphics card.
//!
//! Edge functions on a grid of 1/256 pixel with the top-left rule (Pineda 1988, "A parallel algorithm for polygon
//! rasterization"), bilinear texture lookup, and the toolkit's own blending: source over destination with premultiplied
//! alpha, in gamma space.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use egui::epaint::{ClippedPrimitive, ImageData, Mesh, Primitive, Vertex};
use egui::{Color32, ColorImage, Context, FullOutput, Pos2, Rect, TextureId, TexturesDelta};
use egui_kittest::TestRenderer;
use image::{Rgba, RgbaImage};

/// Steps of the grid to a pixel.
const GRID: f32 = 256.0;

/// The textures seen so far; clones share them.
#[derive(Clone, Default)]
pub struct SoftRenderer {
    textures: Rc<RefCell<HashMap<TextureId, ColorImage>>>,
}

impl TestRenderer for SoftRenderer {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        let mut textures = self.textures.borrow_mut();
        for (id, deltas) in delta.set.drain() {
            for change in deltas {
                let ImageData::Color(image) = &change.image;
                match (change.pos, textures.get_mut(&id)) {
                    (Some([left, top]), Some(texture)) => {
                        for row in 0..image.size[1] {
                            let to = (top + row) * texture.size[0] + left;
                            let from = row * image.size[0];
                            texture.pixels[to..to + image.size[0]]
                                .copy_from_slice(&image.pixels[from..from + image.size[0]]);
                        }
                    }
                    _ => {
                        textures.insert(id, ColorImage::clone(image));
                    }
                }
            }
        }
        for id in delta.free.drain() {
            textures.remove(&id);
        }
    }
}

impl SoftRenderer {
    /// The picture of a frame, on a ground that every panel covers.
    pub fn picture(&self, context: &Context, output: &FullOutput) -> RgbaImage {
        self.picture_within(context, output, Rect::EVERYTHING)
    }

    /// The same, with nothing painted outside a rectangle in points.
    pub fn picture_within(&self, context: &Context, output: &FullOutput, within: Rect) -> RgbaImage {
        let scale = output.pixels_per_point;
        let size = context.content_rect().size() * scale;
        let mut canvas = RgbaImage::from_pixel(size.x as u32, size.y as u32, Rgba([0, 0, 0, 255]));
        let textures = self.textures.borrow();
        for ClippedPrimitive { clip_rect, primitive } in context.tessellate(output.shapes.clone(), scale) {
            if let Primitive::Mesh(mesh) = primitive
                && let Some(texture) = textures.get(&mesh.texture_id)
            {
                fill(&mut canvas, texture, &mesh, clip_rect.intersect(within) * scale, scale);
            }
        }
        canvas
    }
}

fn fill(canvas: &mut RgbaImage, texture: &ColorImage, mesh: &Mesh, clip: Rect, scale: f32) {
    let corner = |index: u32| mesh.vertices[index as usize];
    for triangle in mesh.indices.chunks_exact(3) {
        let vertices = [corner(triangle[0]), corner(triangle[1]), corner(triangle[2])];
        fill_triangle(canvas, texture, vertices, clip, scale);
    }
}

/// A corner on the grid.
fn on_grid(at: Pos2, scale: f32) -> (i64, i64) {
    ((at.x * scale * GRID).round() as i64, (at.y * scale * GRID).round() as i64)
}

/// Twice the area of the triangle a, b, p: positive where p lies on the inner side of a-b.
const fn edge(a: (i64, i64), b: (i64, i64), p: (i64, i64)) -> i64 {
    (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0)
}

/// Whether pixels that lie on this edge belong to the triangle: on top edges and left edges they do.
const fn owns_edge(a: (i64, i64), b: (i64, i64)) -> bool {
    (a.1 == b.1 && b.0 > a.0) || b.1 < a.1
}

fn fill_triangle(
    canvas: &mut RgbaImage,
    texture: &ColorImage,
    mut vertices: [Vertex; 3],
    clip: Rect,
    scale: f32,
) {
    let mut corners = vertices.map(|vertex| on_grid(vertex.pos, scale));
    let mut area = edge(corners[0], corners[1], corners[2]);
    if area < 0 {
        corners.swap(1, 2);
        vertices.swap(1, 2);
        area = -area;
    }
    if area == 0 {
        return;
    }
    let [a, b, c] = corners;
    let owned = [owns_edge(b, c), owns_edge(c, a), owns_edge(a, b)];
    let step = GRID as i64;
    let low = |values: [i64; 3]| values.into_iter().min().unwrap_or(0).div_euclid(step);
    let high = |values: [i64; 3]| values.into_iter().max().unwrap_or(0).div_euclid(step) + 1;
    let left = low([a.0, b.0, c.0]).max(clip.left().round() as i64).max(0);
    let top = low([a.1, b.1, c.1]).max(clip.top().round() as i64).max(0);
    let right = high([a.0, b.0, c.0]).min(clip.right().round() as i64).min(i64::from(canvas.width()));
    let bottom = high([a.1, b.1, c.1]).min(clip.bottom().round() as i64).min(i64::from(canvas.height()));
    for y in top..bottom {
        for x in left..right {
            let p = (x * step + step / 2, y * step + step / 2);
            let weights = [edge(b, c, p), edge(c, a, p), edge(a, b, p)];
            let inside =
                weights.iter().zip(owned).all(|(weight, owned)| *weight > 0 || (*weight == 0 && owned));
            if inside {
                let shares = weights.map(|weight| weight as f32 / area as f32);
                let colour = shade(texture, &vertices, shares);
                blend(canvas.get_pixel_mut(x as u32, y as u32), colour);
            }
        }
    }
}

/// Vertex colour times texture, both premultiplied, each channel from 0 to 255.
fn shade(texture: &ColorImage, vertices: &[Vertex; 3], shares: [f32; 3]) -> [f32; 4] {
    let mix = |value: fn(&Vertex) -> f32| {
        vertices.iter().zip(shares).map(|(vertex, share)| value(vertex) * share).sum::<f32>()
    };
    let texel = lookup(texture, mix(|vertex| vertex.uv.x), mix(|vertex| vertex.uv.y));
    let colour = [
        mix(|vertex| f32::from(vertex.color.r())),
        mix(|vertex| f32::from(vertex.color.g())),
        mix(|vertex| f32::from(vertex.color.b())),
        mix(|vertex| f32::from(vertex.color.a())),
    ];
    std::array::from_fn(|channel| colour[channel] * texel[channel] / 255.0)
}

fn lookup(texture: &ColorImage, u: f32, v: f32) -> [f32; 4] {
    let [width, height] = texture.size;
    let (x, y) = (u * width as f32 - 0.5, v * height as f32 - 0.5);
    let (left, top) = (x.floor(), y.floor());
    let (right_share, bottom_share) = (x - left, y - top);
    let at = |x: f32, y: f32| -> Color32 {
        let column = x.clamp(0.0, width as f32 - 1.0) as usize;
        let row = y.clamp(0.0, height as f32 - 1.0) as usize;
        texture.pixels[row * width + column]
    };
    let four = [at(left, top), at(left + 1.0, top), at(left, top + 1.0), at(left + 1.0, top + 1.0)];
    let shares = [
        (1.0 - right_share) * (1.0 - bottom_share),
        right_share * (1.0 - bottom_share),
        (1.0 - right_share) * bottom_share,
        right_share * bottom_share,
    ];
    std::array::from_fn(|channel| {
        four.iter().zip(shares).map(|(texel, share)| f32::from(texel.to_array()[channel]) * share).sum()
    })
}

fn blend(pixel: &mut Rgba<u8>, colour: [f32; 4]) {
    let rest = 1.0 - colour[3] / 255.0;
    for (below, above) in pixel.0.iter_mut().zip(colour) {
        *below = (above + f32::from(*below) * rest).round().clamp(0.0, 255.0) as u8;
    }
}
