/** The test certificate of one unit: every gate with what was found, nothing left out. */

import { type Problem, UserError, userError } from '../core/units/index.ts';
import {
  type BenchPaper,
  closeBenchPaper,
  facts,
  heading,
  list,
  openBenchPaper,
  placeHead,
  plainTable,
  prose,
} from './bench-blocks.ts';
import type { Certificate, CertificateGate, GateVerdict, PaperSetting } from './types.ts';

const SIGNS: Readonly<Record<GateVerdict, string>> = {
  passed: '● passed',
  failed: '○ failed',
  undecided: '◌ undecided',
  'not done': '– not done',
  overridden: '◐ failed, let pass',
};
const count = (n: number, one: string) => `${n} ${one}${n === 1 ? '' : 's'}`;

/** The certificate in a sentence: what failed comes before what passed. */
export function certificateVerdict({ serial, gates }: Pick<Certificate, 'serial' | 'gates'>): string {
  const of = (verdict: GateVerdict) => gates.filter((g) => g.verdict === verdict).length;
  const [failed, open, let_] = [of('failed'), of('not done') + of('undecided'), of('overridden')];
  if (gates.length === 0) return `${serial} has no gates recorded: this paper certifies nothing.`;
  if (failed > 0)
    return `${serial} failed ${failed} of ${count(gates.length, 'gate')}${open > 0 ? ` and has ${open} open` : ''}: it must not be shipped.`;
  if (open > 0) return `${serial} has ${open} of ${count(gates.length, 'gate')} open: it must not be shipped.`;
  const unmeasured = gates.filter((g) => g.verdict === 'overridden' && g.value === '').length;
  const was = let_ === 1 ? 'was' : 'were';
  const passed = `${serial} passed ${gates.length - let_} of ${count(gates.length, 'gate')}`;
  if (let_ > 0 && unmeasured === 0) return `${passed}; ${let_} failed and ${was} let pass by name, with a reason.`;
  if (let_ > 0)
    return `${passed}; ${let_} ${was} let pass by name, with a reason, ${unmeasured === let_ ? '' : `${unmeasured} of them `}without having been measured.`;
  return `${serial} passed ${gates.length === 1 ? 'its one gate' : `all ${gates.length} gates`}.`;
}

/** Throws UserError on an override without a name or a reason, and on what must not stand on paper. */
function check({ gates, facts: given }: Certificate): void {
  const problems: Problem[] = [];
  for (const { name, verdict, override } of gates) {
    const named = override !== undefined && override.person.trim() !== '' && override.reason.trim() !== '';
    if (verdict === 'overridden' && !named)
      problems.push({
        code: 'override-unnamed',
        message: `the gate '${name}' was let pass without a name and a reason: both stand on the certificate`,
        place: { field: 'gates' },
      });
    if (verdict !== 'overridden' && override !== undefined)
      problems.push({
        code: 'override-verdict',
        message: `the gate '${name}' has an override and the verdict '${verdict}': with an override it is 'overridden'`,
        place: { field: 'gates' },
      });
  }
  for (const [name] of given)
    if (/\b(key|keys|secret|psk|passphrase|password|private)\b/i.test(name))
      problems.push({
        code: 'key-on-paper',
        message: `'${name}' does not go on a certificate: keys belong to one unit and stay off paper`,
        place: { field: 'facts' },
      });
  if (problems.length > 0) throw new UserError(problems);
}

export const certificatePdf = (certificate: Certificate, setting: PaperSetting): Promise<Uint8Array> =>
  certificatesPdf([certificate], setting);

/** One after the other in one file, each from the top of a page. Throws UserError as one would alone, and on none at all. */
export async function certificatesPdf(
  certificates: readonly Certificate[],
  setting: PaperSetting,
): Promise<Uint8Array> {
  for (const certificate of certificates) check(certificate);
  const [first, ...others] = certificates;
  if (first === undefined)
    throw userError('no-certificate', 'there is no unit to certify: name one', { field: 'serials' });
  const made = openBenchPaper(
    setting,
    headOf(first),
    others.length === 0 ? undefined : `${first.serial} to ${others.at(-1)!.serial}, ${certificates.length} units`,
  );
  placeBody(made, first);
  for (const certificate of others) {
    made.flow.newPage();
    placeHead(made, headOf(certificate));
    placeBody(made, certificate);
  }
  return closeBenchPaper(made);
}

const headOf = (certificate: Certificate) => ({
  kind: 'Test certificate',
  thing: `${certificate.kit}, ${certificate.serial}`,
  title: certificateVerdict(certificate),
});

function placeBody({ paper, flow, width }: BenchPaper, certificate: Certificate): void {
  const { serial, kit, revision, batch, maker, gates, cautions } = certificate;
  flow.place(
    facts(
      paper,
      [
        ['serial', serial],
        ['kit and revision', `${kit}, ${revision}`],
        ['batch', batch],
        ['maker', maker],
        ...certificate.facts,
      ],
      width,
    ),
  );
  const row = (g: CertificateGate) => [
    g.name,
    g.limits,
    g.value === '' ? 'not measured' : g.value,
    g.verdict === 'overridden' && g.value === '' ? '◐ not measured, let pass' : SIGNS[g.verdict],
    g.instrument,
    g.person,
    g.day,
  ];
  flow.place([
    heading(paper, 'Gates', width),
    ...plainTable(
      paper,
      ['gate', 'limits', 'measured', 'verdict', 'instrument', 'person', 'day'],
      gates.map(row),
      width,
    ),
  ]);
  const passedOver = gates.filter((g) => g.override !== undefined);
  if (passedOver.length > 0)
    flow.place([
      heading(paper, 'Failed and let pass', width),
      ...plainTable(
        paper,
        ['gate', 'by', 'reason'],
        passedOver.map((g) => [g.name, g.override!.person, g.override!.reason]),
        width,
      ),
    ]);
  const reworked = gates.filter((g) => (g.rework ?? '') !== '');
  if (reworked.length > 0)
    flow.place([
      heading(paper, 'Earlier tries and rework', width),
      ...plainTable(
        paper,
        ['gate', 'what was found and done'],
        reworked.map((g) => [g.name, g.rework!]),
        width,
      ),
    ]);
  if (cautions.length > 0)
    flow.place([heading(paper, 'Cautions', width), ...list(paper, cautions, Math.min(width, 470), 'bar')]);
  flow.place([
    // With the lines for a name: those alone on a page would sign anything.
    kept(
      paper,
      'Measured by the maker with the instruments named; no laboratory stands behind it. It tells how the unit was on these days, not how it will be.',
      Math.min(width, 470),
    ),
    signature(paper, width, serial),
  ]);
}

const kept = (paper: BenchPaper['paper'], text: string, width: number) => ({
  ...prose(paper, text, width, { gap: 12 }),
  keep: true,
});

/** Lines for a name and a day by hand. */
function signature(paper: BenchPaper['paper'], width: number, serial: string) {
  return {
    height: 44,
    draw: (x: number, y: number) =>
      paper.artifact(() => {
        const line = (from: number, to: number, text: string) => {
          paper.doc
            .moveTo(x + from, y + 32)
            .lineTo(x + to, y + 32)
            .lineWidth(0.5)
            .stroke('#1E292D');
          paper.setText(text, x + from, y + 42, 7.5);
        };
        line(0, width * 0.45, `name, for ${serial}`);
        line(width * 0.5, width * 0.7, 'day');
      }),
  };
}
