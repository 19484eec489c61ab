//! A picture as PNG (ISO/IEC 15948).

use super::Picture;
use png::{BitDepth, ColorType, Compression, Encoder, EncodingError, SrgbRenderingIntent};

/// The program's name in pictures: the sign that a file is ours.
const MAKER: &str = env!("CARGO_PKG_NAME");

/// Whether the bytes are a picture of this program.
pub fn is_ours(png: &[u8]) -> bool {
    // The text stands before the pixels: its keyword, a zero, the name.
    let mark = [b"Software\0", MAKER.as_bytes()].concat();
    let head = &png[..png.len().min(256)];
    head.windows(mark.len()).any(|w| w == mark)
}

impl Picture {
    /// The bytes of a PNG file, 8 bits a channel, sRGB, without a time.
    ///
    /// # Errors
    /// What the encoder says.
    pub fn png(&self) -> Result<Vec<u8>, EncodingError> {
        let mut bytes = Vec::new();
        let (width, height) = (self.size.width() as u32, self.size.height() as u32);
        let mut encoder = Encoder::new(&mut bytes, width, height);
        encoder.set_color(ColorType::Rgb);
        encoder.set_depth(BitDepth::Eight);
        encoder.set_source_srgb(SrgbRenderingIntent::Perceptual);
        encoder.set_compression(Compression::Balanced);
        encoder.add_text_chunk("Software".to_owned(), MAKER.to_owned())?;
        let mut writer = encoder.write_header()?;
        writer.write_image_data(self.pixels.as_flattened())?;
        writer.finish()?;
        Ok(bytes)
    }
}

/// Linear light as a sRGB byte (IEC 61966-2-1); what is no number is black.
pub(super) fn byte(light: f32) -> u8 {
    let v = light.clamp(0.0, 1.0);
    let coded = if v <= 0.003_130_8 {
        12.92 * v
    } else {
        1.055 * v.powf(1.0 / 2.4) - 0.055
    };
    (coded * 255.0).round() as u8
}
