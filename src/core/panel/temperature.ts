/**
 * Models of the cell temperature from the irradiance on the panel, the air and the wind.
 * - `faiman`: Tc = Ta + G/(u0 + u1·v), for a panel that is free on both sides.
 * - `sapm`: Tm = G·exp(a + b·v) + Ta, Tc = Tm + G/1000·ΔT; the insulated-back set suits a panel in a housing's lid.
 * - `constant-u`: Tc = Ta + G·α(1 − η)/U, without wind.
 * - `noct`: Tc = Ta + (NOCT − 20)·G/800, from the data sheet's nominal operating temperature.
 */
export type CellTemperatureModel =
  | { readonly kind: 'faiman'; readonly u0_W_m2K?: number; readonly u1_Ws_m3K?: number }
  | { readonly kind: 'sapm'; readonly a: number; readonly b: number; readonly deltaT_K: number }
  | {
      readonly kind: 'constant-u';
      readonly u_W_m2K: number;
      readonly absorptance?: number;
      readonly efficiency?: number;
    }
  | { readonly kind: 'noct'; readonly noct_degC: number };

/** Faiman 2008, Prog. Photovolt. 16:307-315. */
const FAIMAN_U0_W_m2K = 25.0;
const FAIMAN_U1_Ws_m3K = 6.84;

/**
 * Coefficient sets of King, Boyson & Kratochvil 2004, SAND2004-3535 (values from memory of the report's table, checked
 * on the golden points).
 */
export const SAPM_OPEN_RACK_POLYMER = { kind: 'sapm', a: -3.56, b: -0.075, deltaT_K: 3 } as const;
export const SAPM_OPEN_RACK_GLASS = { kind: 'sapm', a: -3.47, b: -0.0594, deltaT_K: 3 } as const;
export const SAPM_CLOSE_MOUNT_GLASS = { kind: 'sapm', a: -2.98, b: -0.0471, deltaT_K: 1 } as const;
export const SAPM_INSULATED_BACK = { kind: 'sapm', a: -2.81, b: -0.0455, deltaT_K: 0 } as const;

/** The model of a kit's `mounting`: free on both sides, or laid in the lid of its housing. */
export const MOUNTINGS: Readonly<Record<'free' | 'lid', CellTemperatureModel>> = {
  free: { kind: 'faiman' },
  lid: SAPM_INSULATED_BACK,
};

/**
 * Cell temperature, °C.
 *
 * Sources: Faiman 2008 (IEC 61853-2 form); King et al. 2004, the module and cell temperature equations; constant loss
 * factor and NOCT: common practice (IEC 61215 defines NOCT at 800 W/m², 20 °C, 1 m/s). α = 0.9 and η = 0.1 for
 * `constant-u`: common practice, from memory. Valid for steady hourly means, irradiance 0-1400 W/m², wind 0-20 m/s (no
 * model knows rain, snow or the radiating night sky). Accuracy: some 5 K for full-size modules (from memory); small panels run cooler
 * by their edges: not validated. That a lid behaves as the insulated back is an assumption. Checked on
 * test/golden/panel-temperature.csv (0.05 K).
 */
export function cellTemperature(
  model: CellTemperatureModel,
  poa_W_m2: number,
  air_degC: number,
  wind_m_s: number,
): number {
  switch (model.kind) {
    case 'faiman':
      return (
        air_degC + poa_W_m2 / ((model.u0_W_m2K ?? FAIMAN_U0_W_m2K) + (model.u1_Ws_m3K ?? FAIMAN_U1_Ws_m3K) * wind_m_s)
      );
    case 'sapm':
      return poa_W_m2 * Math.exp(model.a + model.b * wind_m_s) + air_degC + (poa_W_m2 / 1000) * model.deltaT_K;
    case 'constant-u':
      return air_degC + (poa_W_m2 * (model.absorptance ?? 0.9) * (1 - (model.efficiency ?? 0.1))) / model.u_W_m2K;
    case 'noct':
      return air_degC + ((model.noct_degC - 20) * poa_W_m2) / 800;
  }
}

/**
 * Cell temperature of every hour, °C, into `out`. Arrays have one entry an hour; `out` may be the array of air
 * temperatures. `solarGain_K` adds a rise in proportion to the irradiance (K at 1000 W/m²), e.g. of an enclosure behind
 * the panel.
 */
export function cellTemperatureSeries(
  model: CellTemperatureModel,
  poa_W_m2: Float32Array,
  air_degC: Float32Array,
  wind_m_s: Float32Array,
  out: Float32Array,
  solarGain_K = 0,
): void {
  const n = out.length;
  if (poa_W_m2.length < n || air_degC.length < n || wind_m_s.length < n) {
    throw new RangeError(`cellTemperatureSeries: ${n} hours wanted, an input is shorter`);
  }
  for (let i = 0; i < n; i++) {
    const poa = poa_W_m2[i]!;
    const air = air_degC[i]!;
    out[i] = poa > 0 ? cellTemperature(model, poa, air, wind_m_s[i]!) + (solarGain_K * poa) / 1000 : air;
  }
}
