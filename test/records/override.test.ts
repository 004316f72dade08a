import { describe, expect, it } from 'vitest';
import { panelsOf } from '../../src/records/index.ts';
import { example, kitOf, kitText, perchOf, perchText, toldBy } from './reading.ts';

const FIVE = '{ voc_V: 7.2, isc_A: 0.63, vmp_V: 6, imp_A: 0.58, area_cm2: 220 }';

describe('settings of the command line', () => {
  it('set the fields of the reference runs', () => {
    const set = ['kit.panel.power_W=1', 'kit.cells.count=1', 'kit.load.average_mA=15', 'perch.tilt_deg=23.98'];
    const kit = kitOf(example('reference/kit.yaml'), set).value;
    expect(panelsOf(kit)[0]?.power_W).toBe(1);
    expect(kit.cells.count).toBe(1);
    expect(kit.load.average_mA).toBe(15);
    expect(perchOf(example('reference/perch.yaml'), set, true).value.tilt_deg).toBe(23.98);
  });

  it('reach into the only panel of a list, but not into one of several without its number', () => {
    const two = kitText({ panel: '[{ power_W: 1, vmp_V: 6 }, { power_W: 2, vmp_V: 6 }]' });
    expect(panelsOf(kitOf(two, ['kit.panel[1].power_W=3']).value)[1]?.power_W).toBe(3);
    expect(toldBy(() => kitOf(two, ['kit.panel.power_W=3']))).toEqual([
      '--set: kit.panel.power_W=3: panel is a list of 2: say which, e.g. panel[0].power_W [bad-setting]',
    ]);
    expect(toldBy(() => kitOf(two, ['kit.panel[2].power_W=3']))[0]).toContain('[2] is not there: the list has 2');
    expect(
      panelsOf(kitOf(kitText({ panel: '[{ power_W: 1, vmp_V: 6 }]' }), ['kit.panel.power_W=3']).value)[0]?.power_W,
    ).toBe(3);
    expect(panelsOf(kitOf(kitText(), ['kit.panel[0].power_W=3']).value)[0]?.power_W).toBe(3);
  });

  it('scale the currents of a panel given by its data sheet (arithmetic: proportion)', () => {
    const [panel] = panelsOf(kitOf(kitText({ panel: FIVE }), ['kit.panel.power_W=6.96']).value);
    expect(panel?.imp_A).toBeCloseTo(1.16, 5);
    expect(panel?.isc_A).toBeCloseTo(1.26, 5);
    expect(panel?.area_cm2).toBeCloseTo(440, 5);
    expect([panel?.vmp_V, panel?.voc_V]).toEqual([6, 7.2]);
    const part = panelsOf(kitOf(kitText({ panel: '{ part: panel-2W-6V-etfe }' }), ['kit.panel.power_W=1']).value)[0];
    expect((part?.imp_A ?? 0) * (part?.vmp_V ?? 0)).toBeCloseTo(1, 5);
  });

  it('take the place of what says the same thing otherwise', () => {
    const charger = kitOf(kitText(), ['kit.charger.ceiling_soc=0.9']).value.charger;
    expect([charger.ceiling_soc, charger.ceiling_V]).toEqual([0.9, undefined]);
    const measured = kitText({ cells: '{ count: 1, capacity_mAh: 3350, measuredCapacity_mAh: 3100 }' });
    expect(kitOf(measured, ['kit.cells.capacity_mAh=5000']).value.cells.measuredCapacity_mAh).toBeUndefined();
    const composed = kitText({ load: '{ parts: [{current_mA: 3}] }' });
    expect(kitOf(composed, ['kit.load.average_mA=7']).value.load.parts).toBeUndefined();
    const none = ['kit.cutoff.none=true', 'kit.cutoff.brownout_V=3', 'kit.cutoff.restartsByItself=false'];
    expect(kitOf(kitText(), none).value.cutoff).toEqual({ none: true, brownout_V: 3, restartsByItself: false });
    const held = kitText({ charger: '{ type: fixed-input, inputVoltage_V: 5.5 }' });
    expect(kitOf(held, ['kit.charger.type=tracking']).value.charger.inputVoltage_V).toBeUndefined();
  });

  it('make groups that are not there, replace groups, and take fields away', () => {
    expect(kitOf(kitText(), ['kit.enclosure.solarGain_K=5']).value.enclosure?.solarGain_K).toBe(5);
    expect(perchOf(perchText({ climate: 'nearest' }), ['perch.climate.nearest=Salzburg']).value.climate).toEqual({
      nearest: 'Salzburg',
    });
    expect(perchOf(perchText({ tilt_deg: '20' }), ['perch.tilt_deg=']).value.tilt_deg).toBe(61);
    expect(
      perchOf(perchText(), ['perch.horizon=none', 'perch.albedo=[0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2,0.2]'])
        .value.albedo,
    ).toHaveLength(12);
  });

  it('are applied in order, and the file is not changed for the next reading', () => {
    expect(kitOf(kitText(), ['kit.cells.count=4', 'kit.cells.count=5']).value.cells.count).toBe(5);
    const read = kitOf(kitText({ panel: FIVE }), ['kit.panel.power_W=1']);
    expect(read.source.value).toMatchObject({ panel: { imp_A: 0.58 } });
  });

  const faults: [string, string][] = [
    ['kit.panle.power_W=5', '--set: kit.panle: panle is no key of this record: did you mean panel?'],
    ['kit.panel.powr_W=5', '--set: kit.panel.powr_W: powr_W is no key of panel: did you mean power_W?'],
    ['kit.cells.capacity_mAh=0', '--set: kit.cells.capacity_mAh: capacity_mAh is 0'],
    ['kit.cells.count=many', '--set: kit.cells.count: count is the text "many": wanted a number alone'],
    ['kti.cells.count=2', 'did you mean kit?'],
    ['kit.cells.count.x=2', 'count is 2: it has no field x'],
    ['kit.cutoff.cutoff_V=3.9', 'reconnect_V is 3.6, below cutoff_V 3.9'],
    ['kit.cells[0].count=3', 'cells is not a list'],
  ];
  it.each(faults)('%s is told', (set, expected) => {
    expect(toldBy(() => kitOf(kitText(), [set])).join('\n')).toContain(expected);
  });
});
