//! Pictures compared: in grey, for what must be told without colour; pixel by pixel, for what must look as it did.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use egui::{Color32, Rect};
use image::imageops::crop_imm;
use image::{Rgba, RgbaImage};

use crate::contrast::contrast;

/// Set to anything, it has the pictures that are kept written anew.
const RENEW: &str = "EVENFALL_RENEW_PICTURES";
/// Levels of 255 by which a channel may differ: what the sines of two machines may round differently. None of it can be seen.
const ROUNDING: u8 = 1;

/// The part of a picture within a rectangle, both in points of one pixel.
pub fn part(picture: &RgbaImage, rect: Rect) -> RgbaImage {
    let rect = rect.intersect(Rect::from_min_size(
        egui::Pos2::ZERO,
        egui::vec2(picture.width() as f32, picture.height() as f32),
    ));
    let (left, top) = (rect.left().floor() as u32, rect.top().floor() as u32);
    let (width, height) = ((rect.width().ceil() as u32).max(1), (rect.height().ceil() as u32).max(1));
    crop_imm(picture, left, top, width, height).to_image()
}

/// How many pixels of two pictures of one size stand out from one another by 3:1 in luminance, hue left aside.
///
/// Source: WCAG 2.2, success criterion 1.4.11; its contrast ratio is one of relative luminances.
pub fn told_in_grey(one: &RgbaImage, other: &RgbaImage) -> usize {
    apart_in_grey(one, other, 3.0)
}

/// The same for thin lines, whose pixels are covered in part only: at least 1.5:1 of what is 3:1 between ink and ground.
pub fn lines_told_in_grey(one: &RgbaImage, other: &RgbaImage) -> usize {
    apart_in_grey(one, other, 1.5)
}

fn apart_in_grey(one: &RgbaImage, other: &RgbaImage, ratio: f64) -> usize {
    assert_eq!(one.dimensions(), other.dimensions(), "pictures of two sizes");
    let colour = |pixel: &Rgba<u8>| Color32::from_rgb(pixel.0[0], pixel.0[1], pixel.0[2]);
    one.pixels()
        .zip(other.pixels())
        .filter(|(one, other)| one != other && contrast(colour(one), colour(other)) >= ratio)
        .count()
}

/// Holds a picture against the one that is kept under this name in `data/pictures`.
///
/// # Panics
/// When they differ: the message says by how much, and where the new picture and one of the differences were written.
pub fn is_as_kept(name: &str, picture: &RgbaImage, written_to: &Path) {
    let kept_at = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data/pictures").join(format!("{name}.png"));
    if env::var_os(RENEW).is_some() {
        save(picture, &kept_at);
        return;
    }
    let kept = image::open(&kept_at).unwrap_or_else(|error| panic!("reading {}: {error}", kept_at.display()));
    let kept = kept.to_rgba8();
    let is_same = kept.dimensions() == picture.dimensions();
    let differing = differences(&kept, picture);
    let count = differing.pixels().filter(|pixel| pixel.0[0] > 0).count();
    if is_same && count == 0 {
        return;
    }
    let new = written_to.join(format!("{name}-new.png"));
    let beside = written_to.join(format!("{name}-differs.png"));
    save(picture, &new);
    save(&differing, &beside);
    let (was, is) = (kept.dimensions(), picture.dimensions());
    panic!(
        "{name} looks otherwise: {count} pixels differ, {was:?} before and {is:?} now.\n  kept: {}\n  new: {}\n  \
         differences in white: {}\nLook at all three. If the new one is meant, {RENEW}=1 writes it.",
        kept_at.display(),
        new.display(),
        beside.display()
    );
}

/// White where two pictures differ by more than rounding, over all that either covers.
fn differences(kept: &RgbaImage, picture: &RgbaImage) -> RgbaImage {
    let size = (kept.width().max(picture.width()), kept.height().max(picture.height()));
    RgbaImage::from_fn(size.0, size.1, |x, y| {
        let same = match (kept.get_pixel_checked(x, y), picture.get_pixel_checked(x, y)) {
            (Some(one), Some(other)) => {
                one.0.iter().zip(other.0).all(|(one, other)| one.abs_diff(other) <= ROUNDING)
            }
            _ => false,
        };
        let level = if same { 0 } else { 255 };
        Rgba([level, level, level, 255])
    })
}

fn save(picture: &RgbaImage, path: &Path) {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    }
    picture.save(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
}

#[cfg(test)]
mod tests {
    use image::{Rgba, RgbaImage};

    use super::{differences, told_in_grey};

    #[test]
    fn hue_alone_tells_nothing() {
        let filled = |colour| RgbaImage::from_pixel(3, 2, Rgba(colour));
        let white = filled([255, 255, 255, 255]);
        // W3C technique G18: #767676 on white is 4.54:1.
        assert_eq!(told_in_grey(&white, &filled([0x76, 0x76, 0x76, 255])), 6);
        // Red and green of one luminance by the definition of WCAG 2.2: 0.2126 of full red, 0.7152 of #009400's 0.2961.
        assert_eq!(told_in_grey(&filled([255, 0, 0, 255]), &filled([0, 0x94, 0, 255])), 0);
    }

    #[test]
    fn a_level_is_rounding_and_two_are_not() {
        let filled = |level| RgbaImage::from_pixel(2, 1, Rgba([level, 0, 0, 255]));
        let white = |one: u8, other: u8| {
            differences(&filled(one), &filled(other)).pixels().filter(|pixel| pixel.0[0] > 0).count()
        };
        assert_eq!([white(10, 10), white(10, 11), white(10, 12)], [0, 0, 2]);
        let wider = RgbaImage::from_pixel(3, 1, Rgba([10, 0, 0, 255]));
        assert_eq!(differences(&filled(10), &wider).pixels().filter(|pixel| pixel.0[0] > 0).count(), 1);
    }
}
