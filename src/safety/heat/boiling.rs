//! The boiling point of water by altitude or pressure.

/// Pressure of the standard atmosphere (ISA, troposphere), kPa, at `metres` above sea level.
#[must_use]
pub fn pressure(metres: f64) -> f64 {
    101.325 * (1.0 - 0.0065 * metres / 288.15).max(0.0).powf(5.255_88)
}

/// Saturation temperature in C at a pressure in kPa: IAPWS-IF97, region 4, backward equation; valid from 0.6112 kPa
/// to 22,064 kPa.
#[must_use]
pub fn saturation(kilopascals: f64) -> f64 {
    const N: [f64; 10] = [
        1_167.052_145_276_7,
        -724_213.167_032_06,
        -17.073_846_940_092,
        12_020.824_702_470,
        -3_232_555.032_233_3,
        14.915_108_613_530,
        -4_823.265_736_159_1,
        405_113.405_420_57,
        -0.238_555_575_678_49,
        650.175_348_447_98,
    ];
    let [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = N;
    let b = (kilopascals / 1000.0).powf(0.25);
    let e = b * b + n3 * b + n6;
    let f = n1 * b * b + n4 * b + n7;
    let g = n2 * b * b + n5 * b + n8;
    let d = 2.0 * g / (-f - (f * f - 4.0 * e * g).sqrt());
    let sum = n10 + d;
    (sum - (sum * sum - 4.0 * (n9 + n10 * d)).sqrt()) / 2.0 - 273.15
}

/// Boiling point in C at `metres` above sea level.
#[must_use]
pub fn at_altitude(metres: f64) -> f64 {
    saturation(pressure(metres))
}
