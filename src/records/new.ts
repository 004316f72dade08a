/** Files to begin with: every choice has its comment, and the file validates as it is. */
import { facingEquator_deg, winterTilt_deg } from './perch.ts';

export interface NewKitOptions {
  readonly name?: string;
  /** Path or address of the JSON Schema, for the editor's first line. */
  readonly schema?: string;
  readonly panel?: string;
  readonly charger?: string;
  readonly cells?: string;
  readonly count?: number;
}

export interface NewPerchOptions {
  readonly name?: string;
  readonly schema?: string;
  readonly latitude_deg?: number;
  readonly longitude_deg?: number;
  readonly elevation_m?: number;
}

/** A text that YAML reads back as the same text. */
const quoted = (text: string) => JSON.stringify(text.replace(/[\r\n\t]+/g, ' '));
const header = (schema: string) => `# yaml-language-server: $schema=${schema.replace(/\s+/g, '%20')}\n`;

/** A commented kit: panel, charger and cells from generic parts, composed load, thresholds in volts. */
export function newKitText(options: NewKitOptions = {}): string {
  const {
    name = 'My kit',
    schema = 'schema/kit.schema.json',
    panel = 'panel-3.5W-6V-etfe',
    charger = 'charger-tracking-1A',
    cells = 'cell-18650-3350',
    count = 3,
  } = options;
  return `${header(schema)}# A kit: the repeatable design of a node. The unit of each number stands in its name.
name: ${quoted(name)}
# revision: A

# Generic parts are a start: your own data-sheet values beside "part" override the part's.
panel:
  part: ${panel}
  # Instead of a part: power_W and vmp_V, or voc_V, isc_A, vmp_V and imp_A with temperature coefficients.
  # measuredPower_W: 3.3     # a measurement takes the place of the data sheet
  mounting: free             # free: air behind it; lid: on the lid of the housing, hotter
  # blockingDiode_V: 0.3     # drop of a diode in the panel's lead
  # Several panels: write a list, each with its own tilt_deg, azimuth_deg and shade.

charger:
  part: ${charger}
  # ceiling_V: 4.1           # where charging stops; lower is kinder to the cells
  # power_path: false        # the panel cannot feed the load while charging is blocked
  # cold_lockout: false      # the cells are charged below freezing, which harms them

# The load is switched off at cutoff_V and comes back at reconnect_V, both at the cells.
cutoff:
  cutoff_V: 3.2
  reconnect_V: 3.6
  # A board without cut-off, instead of the two lines above:
  # none: true
  # brownout_V: 3.0
  # restartsByItself: false  # does it start again without hands?

cells:
  part: ${cells}
  count: ${count}                   # in parallel
  # measuredCapacity_mAh: 3290
  # age_years: 2

# Instead of transmit and parts: average_mA: 9
load:
  regulator:
    type: switching          # linear or switching
    output_V: 3.3
    quiescent_uA: 20
    efficiency: 0.9
  transmit:
    part: radio-transmit-22dBm
    airtime_s_per_h: 60      # seconds on air in an hour
  parts:
    - part: radio-receive
      duty: 1                # share of the time, 0 to 1
    - part: processor-frugal-idle
    - part: positioning-track
      seconds_per_h: 15
    - part: indicator-light
      duty: 0.002

# For the links: path, reach. All nodes of a net share frequency, spreading factor and bandwidth.
radio:
  frequency_MHz: 869.525     # what is allowed where: sunperch limits REGION
  spreadingFactor: 8
  bandwidth_kHz: 125
  codingRate: 4/6
  power_dBm: 14              # at the antenna connector
  # noiseFigure_dB: 6
  # filterLoss_dB: 2         # a filter between radio and antenna
  # noiseRise_dB: 3          # measured noise above the receiver's own

antenna:
  gain_dBi: 2
  pattern: stick             # stick or isotropic
  polarization: vertical     # vertical, horizontal or circular
  feederLoss_dB: 0.5         # cable and connectors
  # sweep: antenna.s1p       # measured reflection; or vswr: 1.5

enclosure:
  solarGain_K: 10            # warming of the cells above the air in full sun
`;
}

/** A commented perch; without options a place at 46.4 N 10.2 E. */
export function newPerchText(options: NewPerchOptions = {}): string {
  const { name = 'My perch', schema = 'schema/perch.schema.json' } = options;
  const { latitude_deg = 46.4, longitude_deg = 10.2, elevation_m = 1500 } = options;
  const azimuth = facingEquator_deg(latitude_deg);
  return `${header(schema)}# A perch: a place where a kit stands.
name: ${quoted(name)}
latitude_deg: ${latitude_deg}           # north is positive
longitude_deg: ${longitude_deg}          # east is positive
elevation_m: ${elevation_m}            # above the sea
tilt_deg: ${winterTilt_deg(latitude_deg)}                 # of the panel: 0 lies flat, 90 is upright; steep sheds snow
azimuth_deg: ${azimuth}             # direction it faces: 0 north, 90 east, 180 south
# height_m: 4              # of the antenna above ground
# environment: rural       # man-made noise: city, residential, rural or quiet-rural

# The skyline, as far as it hides the sun: list of directions with the elevation of the edge; or none.
horizon: none
# horizon:
#   - { azimuth_deg: 90, elevation_deg: 12 }
#   - { azimuth_deg: 180, elevation_deg: 18 }
#   - { azimuth_deg: 270, elevation_deg: 9 }

albedo: 0.2                # of the ground; or 12 values, 0.7 in months with snow
# snow: { snowfall_cm: [60, 55, 50, 30, 5, 0, 0, 0, 0, 10, 40, 60] }
soiling_pct: 2             # loss by dirt; or 12 values
# shade: 0.9               # share of the light that passes trees; or 12 rows of 24 hours
# enclosureGain_K: 10      # warming of the cells in full sun; overrides the kit's

# nearest: the nearest built-in climate. Twelve monthly means of your own place are better:
# climate:
#   monthly:
#     ghi_kWh_m2_day: [12 values]
#     temperature_degC: [12 values]
# or a weather file: climate: { weather: place.epw }
climate: nearest
`;
}
