//! Thermal properties of food from its composition: Choi and Okos 1986 (ASHRAE Refrigeration, ch. 9).
//!
//! The slope of the conductivity of fat is -2.7604e-4; the -2.7604e-3 that is also in print makes it
//! negative at 65 C.

/// Coefficients of one component: k (W/m K), density (kg/m3) and specific heat (kJ/kg K), each as a
/// polynomial of degrees Celsius.
#[derive(Clone, Copy, Debug)]
pub struct Component {
    /// Its name.
    pub name: &'static str,
    /// Conductivity.
    pub k: [f64; 3],
    /// Density.
    pub rho: [f64; 3],
    /// Specific heat.
    pub cp: [f64; 3],
}

/// Choi and Okos 1986, -40 to 150 C.
pub const COMPONENTS: [Component; 6] = [
    Component {
        name: "water",
        k: [0.57109, 0.001_762_5, -6.7036e-6],
        rho: [997.18, 0.003_143_9, -0.003_757_4],
        cp: [4.1762, -9.0864e-5, 5.4731e-6],
    },
    Component {
        name: "protein",
        k: [0.17881, 0.001_195_8, -2.7178e-6],
        rho: [1329.9, -0.5184, 0.0],
        cp: [2.0082, 0.001_208_9, -1.3129e-6],
    },
    Component {
        name: "fat",
        k: [0.18071, -0.000_276_04, -1.7749e-7],
        rho: [925.59, -0.41757, 0.0],
        cp: [1.9842, 0.001_473_3, -4.8008e-6],
    },
    Component {
        name: "carb",
        k: [0.20141, 0.001_387_4, -4.3312e-6],
        rho: [1599.1, -0.31046, 0.0],
        cp: [1.5488, 0.001_962_5, -5.9399e-6],
    },
    Component {
        name: "fibre",
        k: [0.18331, 0.001_249_7, -3.1683e-6],
        rho: [1311.5, -0.36589, 0.0],
        cp: [1.8459, 0.001_830_6, -4.6509e-6],
    },
    Component {
        name: "ash",
        k: [0.32962, 0.001_401_1, -2.9069e-6],
        rho: [2423.8, -0.28063, 0.0],
        cp: [1.0926, 0.001_889_6, -3.6817e-6],
    },
];

/// Mass fractions in the order of [`COMPONENTS`]: water, protein, fat, carbohydrate, fibre, ash. Any positive scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Composition(pub [f64; 6]);

/// Properties of a food.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Properties {
    /// kg/m3.
    pub density: f64,
    /// kJ/kg K.
    pub specific_heat: f64,
    /// W/m K.
    pub conductivity: f64,
    /// m2/s.
    pub diffusivity: f64,
}

impl Composition {
    /// Properties at a temperature, without pores; conductivity weighted by volume (parallel model).
    #[must_use]
    pub fn at(&self, celsius: f64) -> Properties {
        let value = |[a, b, c]: [f64; 3]| a + b * celsius + c * celsius * celsius;
        let whole: f64 = self.0.iter().sum();
        let parts = || {
            COMPONENTS
                .iter()
                .zip(self.0.iter().map(move |part| part / whole))
        };
        let volume: f64 = parts().map(|(c, x)| x / value(c.rho)).sum();
        let specific_heat: f64 = parts().map(|(c, x)| x * value(c.cp)).sum();
        let conductivity: f64 = parts()
            .map(|(c, x)| value(c.k) * x / value(c.rho) / volume)
            .sum();
        let density = 1.0 / volume;
        Properties {
            density,
            specific_heat,
            conductivity,
            diffusivity: conductivity / (density * specific_heat * 1000.0),
        }
    }
}
