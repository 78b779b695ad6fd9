//! Luminance, contrast and colour blindness, for the tests that hold every shipped theme to its promise.

use ratatui::style::Color;

/// The red, green and blue of a colour, 0 to 255; `None` for the terminal's own default.
/// The sixteen are those of xterm's defaults (XTerm-col.ad); the 240 fixed ones are by formula.
#[cfg(test)]
pub fn rgb(color: Color) -> Option<[u8; 3]> {
    Some(match color {
        Color::Rgb(r, g, b) => [r, g, b],
        Color::Reset => return None,
        Color::Black => [0, 0, 0],
        Color::Red => [205, 0, 0],
        Color::Green => [0, 205, 0],
        Color::Yellow => [205, 205, 0],
        Color::Blue => [0, 0, 238],
        Color::Magenta => [205, 0, 205],
        Color::Cyan => [0, 205, 205],
        Color::Gray => [229, 229, 229],
        Color::DarkGray => [127, 127, 127],
        Color::LightRed => [255, 0, 0],
        Color::LightGreen => [0, 255, 0],
        Color::LightYellow => [255, 255, 0],
        Color::LightBlue => [92, 92, 255],
        Color::LightMagenta => [255, 0, 255],
        Color::LightCyan => [0, 255, 255],
        Color::White => [255, 255, 255],
        Color::Indexed(n) => return fixed_256(n),
    })
}

fn fixed_256(n: u8) -> Option<[u8; 3]> {
    const LEVELS: [u8; 6] = [0, 95, 135, 175, 215, 255];
    match n {
        0..=15 => None,
        16..=231 => {
            let n = usize::from(n - 16);
            let level = |i: usize| LEVELS.get(i % 6).copied().unwrap_or(0);
            Some([level(n / 36), level(n / 6), level(n)])
        }
        232..=255 => {
            let v = 8 + 10 * (n - 232);
            Some([v, v, v])
        }
    }
}

/// The nearest of the 240 fixed colours; colours that are not RGB stay as they are.
pub fn nearest_256(color: Color) -> Color {
    let Color::Rgb(r, g, b) = color else {
        return color;
    };
    let distance = |n: u8| {
        fixed_256(n).map_or(i32::MAX, |[x, y, z]| {
            let d = |a: u8, b: u8| (i32::from(a) - i32::from(b)).pow(2);
            2 * d(r, x) + 4 * d(g, y) + 3 * d(b, z)
        })
    };
    (16..=255)
        .min_by_key(|n| distance(*n))
        .map_or(color, Color::Indexed)
}

/// Linear light of an sRGB channel, 0 to 1 (WCAG 2.2, relative luminance, knee 0.04045).
fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    if c <= 0.04045 {
        c / 12.92
    } else {
        ((c + 0.055) / 1.055).powf(2.4)
    }
}

fn luminance([r, g, b]: [u8; 3]) -> f64 {
    0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
}

/// The contrast ratio of two colours, 1 to 21: `(L1 + 0.05) / (L2 + 0.05)` (WCAG 2.2, contrast ratio).
pub fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// A kind of colour blindness.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Blindness {
    /// No long-wave cones.
    Protan,
    /// No middle-wave cones.
    Deutan,
    /// No short-wave cones.
    Tritan,
}

/// What a colour looks like to a dichromat: the matrices for full severity of Machado, Oliveira and
/// Fernandes, "A physiologically-based model for simulation of color vision deficiency" (2009), applied to
/// linear light. The coefficients are from memory; each row sums to 1, which a test asserts.
pub fn simulate(kind: Blindness, color: [u8; 3]) -> [u8; 3] {
    let light = color.map(linear);
    matrix(kind).map(|row| {
        let v: f64 = row.iter().zip(light).map(|(a, b)| a * b).sum();
        let v = v.clamp(0.0, 1.0);
        let c = if v <= 0.003_130_8 {
            12.92 * v
        } else {
            1.055 * v.powf(1.0 / 2.4) - 0.055
        };
        (c * 255.0).round() as u8
    })
}

pub(super) fn matrix(kind: Blindness) -> [[f64; 3]; 3] {
    match kind {
        Blindness::Protan => [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ],
        Blindness::Deutan => [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ],
        Blindness::Tritan => [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ],
    }
}

/// Distance of two colours in CIE L*a*b* (D65), CIE 1976: 2.3 is just noticeable.
#[cfg(test)]
pub(super) fn distance(a: [u8; 3], b: [u8; 3]) -> f64 {
    let lab = |c: [u8; 3]| {
        let [r, g, b] = c.map(linear);
        let x = (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047;
        let y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
        let z = (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883;
        let f = |t: f64| {
            if t > 0.008_856 {
                t.cbrt()
            } else {
                7.787 * t + 16.0 / 116.0
            }
        };
        [
            116.0 * f(y) - 16.0,
            500.0 * (f(x) - f(y)),
            200.0 * (f(y) - f(z)),
        ]
    };
    lab(a)
        .iter()
        .zip(lab(b))
        .map(|(p, q)| (p - q).powi(2))
        .sum::<f64>()
        .sqrt()
}
