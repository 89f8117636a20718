//! A photograph as a page has it: known by its bytes, turned as the camera was held, scaled down, free of what the
//! camera wrote into it.

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits};
use std::io::Cursor;
use thiserror::Error;

/// The longest side on a page, in pixels: 8 cm at 300 dots an inch, twice a phone's width.
pub const LONGEST: u32 = 960;
/// JPEG quality of what stands on a page.
const QUALITY: u8 = 80;
/// A picture of more pixels on a side is no photograph of a club.
const MOST_ON_A_SIDE: u32 = 20_000;
/// Memory that reading one may take, in bytes: 60 megapixels in eight bytes each.
const MOST_MEMORY: u64 = 512 << 20;

/// A photograph ready for a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photograph {
    /// The picture as JPEG.
    pub jpeg: Vec<u8>,
    /// Its width in pixels.
    pub width: u32,
    /// Its height in pixels.
    pub height: u32,
}

/// Why a file is no photograph for a page.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum PhotographError {
    /// The bytes are of no picture, or of one of another kind, which is named where it is known.
    #[error("this is {0}, and no JPEG or PNG")]
    OtherKind(&'static str),
    /// The picture is broken.
    #[error("this picture is broken: {0}")]
    Broken(String),
    /// The picture is larger than anything worth printing.
    #[error("this picture is too large: at most {MOST_ON_A_SIDE} pixels on a side, and 60 million in all")]
    TooLarge,
}

/// A picture's bytes (JPEG or PNG) made ready for a page: at most [`LONGEST`] pixels on a side, upright by the
/// orientation that the camera wrote (Exif 2.3, CIPA DC-008-2012, tag 274), on white where it is see-through. Nothing
/// else of what the file says goes with it: neither place nor time nor owner.
///
/// # Errors
/// [`PhotographError`] for what is no JPEG or PNG, is broken, or is too large.
///
/// ```
/// use agewright_files::photograph::{PhotographError, photograph};
///
/// assert_eq!(photograph(b"GIF89a...").unwrap_err(), PhotographError::OtherKind("a GIF"));
/// assert_eq!(photograph(b"id,pin\n").unwrap_err(), PhotographError::OtherKind("no picture"));
/// ```
pub fn photograph(bytes: &[u8]) -> Result<Photograph, PhotographError> {
    let format = match image::guess_format(bytes) {
        Ok(format @ (ImageFormat::Jpeg | ImageFormat::Png)) => format,
        _ => return Err(PhotographError::OtherKind(other_kind(bytes))),
    };
    if format == ImageFormat::Jpeg && !has_an_end(bytes) {
        return Err(PhotographError::Broken("its end is missing".to_owned()));
    }
    let mut limits = Limits::default();
    (limits.max_image_width, limits.max_image_height) = (Some(MOST_ON_A_SIDE), Some(MOST_ON_A_SIDE));
    limits.max_alloc = Some(MOST_MEMORY);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|error| why(&error))?;
    let orientation = decoder.orientation().map_err(|error| why(&error))?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) * 8 > MOST_MEMORY {
        return Err(PhotographError::TooLarge);
    }
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|error| why(&error))?;
    if width.max(height) > LONGEST {
        picture = picture.resize(LONGEST, LONGEST, FilterType::Triangle);
    }
    picture.apply_orientation(orientation);
    let picture = on_white(&picture);
    let mut jpeg = Vec::new();
    picture.write_with_encoder(JpegEncoder::new_with_quality(&mut jpeg, QUALITY)).map_err(|error| why(&error))?;
    Ok(Photograph { jpeg, width: picture.width(), height: picture.height() })
}

/// Whether a JPEG's last scan has an end: the decoder paints grey what is missing. (Markers: ITU-T T.81, 1992, table
/// B.1, from memory: SOS is ff da, EOI ff d9, and neither stands within a scan.)
fn has_an_end(bytes: &[u8]) -> bool {
    let last = |marker: [u8; 2]| bytes.windows(2).rposition(|window| window == marker);
    last([0xff, 0xd9]) > last([0xff, 0xda])
}

/// What is see-through lies on white paper.
fn on_white(picture: &DynamicImage) -> DynamicImage {
    if !picture.color().has_alpha() {
        return DynamicImage::ImageRgb8(picture.to_rgb8());
    }
    let mut on_white = image::RgbaImage::from_pixel(picture.width(), picture.height(), image::Rgba([255; 4]));
    image::imageops::overlay(&mut on_white, &picture.to_rgba8(), 0, 0);
    DynamicImage::ImageRgb8(DynamicImage::ImageRgba8(on_white).to_rgb8())
}

fn why(error: &ImageError) -> PhotographError {
    match error {
        ImageError::Limits(_) => PhotographError::TooLarge,
        other => PhotographError::Broken(other.to_string()),
    }
}

/// What a file is that is no JPEG or PNG, by its first bytes.
fn other_kind(bytes: &[u8]) -> &'static str {
    let boxed = bytes.get(4..12).unwrap_or_default();
    match bytes {
        [] => "an empty file",
        [b'G', b'I', b'F', ..] => "a GIF",
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => "a WebP",
        [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => "a TIFF or a camera's raw picture",
        [b'%', b'P', b'D', b'F', ..] => "a PDF",
        _ if boxed.starts_with(b"ftyphei") || boxed.starts_with(b"ftypmif1") => "a HEIC",
        _ if boxed.starts_with(b"ftyp") => "a film",
        _ if bytes.trim_ascii_start().starts_with(b"<") => "an SVG or a page",
        _ => "no picture",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{Rgb, RgbImage};

    /// A picture with a red corner, top left.
    fn picture(width: u32, height: u32) -> RgbImage {
        let red = |x, y| x < width / 4 && y < height / 4;
        RgbImage::from_fn(width, height, |x, y| if red(x, y) { Rgb([220, 20, 20]) } else { Rgb([200, 200, 200]) })
    }

    fn jpeg(picture: &RgbImage) -> Vec<u8> {
        let mut bytes = Vec::new();
        picture.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 90)).unwrap();
        bytes
    }

    /// The same file with an Exif segment of this orientation behind its first two bytes.
    fn turned(bytes: &[u8], orientation: u8) -> Vec<u8> {
        let exif = [
            &b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0"[..],
            &[orientation, 0, 0, 0, 0, 0, 0],
            b"Owner of the camera",
        ]
        .concat();
        let length = u16::try_from(exif.len() + 2).unwrap().to_be_bytes();
        [&bytes[..2], &[0xff, 0xe1], &length, &exif, &bytes[2..]].concat()
    }

    fn is_red(page: &Photograph, x: u32, y: u32) -> bool {
        let read = image::load_from_memory(&page.jpeg).unwrap().to_rgb8();
        let Rgb([red, green, _]) = *read.get_pixel(x, y);
        red > 150 && green < 100
    }

    #[test]
    fn a_photograph_is_scaled_down_and_turned_upright() {
        let file = jpeg(&picture(3000, 1500));
        let page = photograph(&file).unwrap();
        assert_eq!((page.width, page.height), (960, 480));
        assert!(is_red(&page, 40, 40) && !is_red(&page, 900, 40));
        // 6: the camera was held a quarter to the left; the top left corner is seen top right (Exif 2.3).
        let page = photograph(&turned(&file, 6)).unwrap();
        assert_eq!((page.width, page.height), (480, 960));
        assert!(is_red(&page, 440, 40) && !is_red(&page, 40, 40));
        let page = photograph(&turned(&file, 3)).unwrap();
        assert!(page.width == 960 && is_red(&page, 920, 440));
        // Small ones stay as they are.
        let page = photograph(&jpeg(&picture(300, 200))).unwrap();
        assert_eq!((page.width, page.height), (300, 200));
    }

    #[test]
    fn nothing_that_the_camera_wrote_goes_with_it() {
        let file = turned(&jpeg(&picture(400, 300)), 1);
        let has = |bytes: &[u8], word: &[u8]| bytes.windows(word.len()).any(|window| window == word);
        let page = photograph(&file).unwrap();
        assert!(has(&file, b"Owner of the camera") && !has(&page.jpeg, b"Owner") && !has(&page.jpeg, b"Exif"));
    }

    #[test]
    fn what_is_see_through_lies_on_white() {
        let clear = image::RgbaImage::from_pixel(40, 40, image::Rgba([0, 0, 0, 0]));
        let mut png = Vec::new();
        DynamicImage::ImageRgba8(clear).write_to(&mut Cursor::new(&mut png), ImageFormat::Png).unwrap();
        let read = image::load_from_memory(&photograph(&png).unwrap().jpeg).unwrap().to_rgb8();
        assert!(read.get_pixel(20, 20).0.iter().all(|v| *v > 250));
    }

    #[test]
    fn hostile_files_end_in_an_error() {
        let file = jpeg(&picture(300, 200));
        for cut in [3, 20, 100, 300, file.len() / 2, file.len() - 2] {
            assert!(matches!(photograph(&file[..cut]), Err(PhotographError::Broken(_))), "{cut}");
        }
        let mut png = Vec::new();
        DynamicImage::ImageRgb8(picture(30, 20)).write_to(&mut Cursor::new(&mut png), ImageFormat::Png).unwrap();
        // A header that promises 60,000 x 60,000 pixels.
        png[16..24].copy_from_slice(&[0, 0, 0xea, 0x60, 0, 0, 0xea, 0x60]);
        assert!(photograph(&png).is_err());
        for (bytes, kind) in [
            (&b"RIFF\0\0\0\0WEBPVP8 "[..], "a WebP"),
            (b"\0\0\0\x18ftypheic\0\0", "a HEIC"),
            (b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>", "an SVG or a page"),
            (b"", "an empty file"),
            (b"II*\0....", "a TIFF or a camera's raw picture"),
        ] {
            assert_eq!(photograph(bytes).unwrap_err(), PhotographError::OtherKind(kind));
        }
    }
}
