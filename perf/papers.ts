import { codeText, type Label, labelsPdf, pagePdf } from '../src/papers/index.ts';
import { reportDocument } from '../src/report/index.ts';
import { testFonts } from '../test/papers/fonts.ts';
import { sampleOutcome, samplePictures } from '../test/report/sample.ts';
import type { BenchRow } from './rows.ts';

const LABELS = 500;
const AT_MOST_ms = 5000;

/** A sheet of 500 labels with codes, and a report of a year; each from nothing. */
export async function benchPapers(): Promise<BenchRow[]> {
  const setting = { paper: 'A4', fonts: testFonts(), created: new Date(0), version: '0' } as const;
  const labels = Array.from({ length: LABELS }, (_, i): Label => {
    const serial = `A07-${String(i + 1).padStart(4, '0')}-K`;
    return {
      serial,
      code: codeText('https://example.org/u/{serial}', serial),
      lines: ['Alder 3', 'revision C'],
      caution: 'Lithium-ion cells inside: do not open, crush or heat above 60 °C.',
    };
  });
  const sheet = { kind: 'sheet', paper: 'A4', rows: 8, columns: 3, labelWidth_mm: 63.5, labelHeight_mm: 33.9 } as const;
  const layout = { ...sheet, marginLeft_mm: 7.2, marginTop_mm: 12.9, gapX_mm: 2.5, gapY_mm: 0, corner_mm: 2 };
  const timed = async (work: () => Promise<unknown>) => {
    const times: number[] = [];
    for (let run = 0; run < 3; run++) {
      const from = performance.now();
      await work();
      times.push(performance.now() - from);
    }
    return times.sort((a, b) => a - b)[1]!;
  };
  const sheets_ms = await timed(() => labelsPdf(labels, { layout, level: 'M' }, setting));
  if (sheets_ms > AT_MOST_ms) throw new Error(`bench: ${LABELS} labels took ${sheets_ms} ms, at most ${AT_MOST_ms}`);
  const page = reportDocument({ outcome: sampleOutcome(), pictures: samplePictures(), generatedFrom: [] });
  const report_ms = await timed(() => pagePdf(page, setting));
  return [
    {
      name: `sheets of ${LABELS} labels`,
      value: sheets_ms,
      unit: 'ms',
      ratio: AT_MOST_ms / sheets_ms,
      against: 'the 5 s allowed',
    },
    { name: 'report of a year as PDF', value: report_ms, unit: 'ms' },
  ];
}
