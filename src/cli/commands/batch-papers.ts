import type { Command } from 'commander';
import type { BatchPapersOutcome, PaperRow } from '../../app/bench/market-papers.ts';
import { userError } from '../../core/units/index.ts';
import { type BenchOptions, deedCommand, type OpenBench, withBench } from '../bench.ts';
import { gather } from '../options.ts';
import { say, sayJson, table } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';

interface PapersOptions extends BenchOptions {
  readonly note?: string[];
  readonly row?: string;
  readonly evidence?: string[];
  readonly setAside?: string;
  readonly reason?: string;
  readonly out?: string;
}

/** `sunperch batch papers`: what the market of a batch asks for, and the evidence that is there. */
export function registerBatchPapers(group: Command): void {
  deedCommand(group, 'papers <key>', 'Papers that the market of a batch asks for, and what is missing.')
    .option('--note <row=state:evidence>', 'notes one, host-label=there:photo-3.jpg; may be given again', gather)
    .option('--row <row>', 'row that --evidence, --set-aside or --out is about')
    .option(
      '--evidence <file>',
      'keeps a file for --row (PDF, JPEG, PNG or text, at most 10 MB) and notes it as there; may be given again',
      gather,
    )
    .option(
      '--set-aside <digest>',
      'a file of --row no longer counts (first 8 or more signs of its digest); with --reason',
    )
    .option('--reason <text>', 'why it is set aside')
    .option('--out <folder>', 'writes the kept files of the batch, or of --row, into a folder')
    .action(async (key: string, options: PapersOptions) => {
      checkTogether(options);
      const { outcome, written } = await withBench(options, async (bench) => {
        const written = await work(bench, key, options);
        return { outcome: await look(bench, key), written };
      });
      if (options.json) return sayJson({ ...outcome, written });
      print(outcome);
      sayNotes(written, 'Written');
    });
}

function checkTogether({ row, evidence, setAside, reason }: PapersOptions): void {
  const alone = (field: string, with_: string) => userError('option-alone', `${field} goes with ${with_}`, { field });
  if (evidence !== undefined && row === undefined) throw alone('--evidence', '--row: which row does it prove?');
  if (setAside !== undefined && (row === undefined || reason === undefined))
    throw alone('--set-aside', '--row and --reason');
}

/** Does what was asked; gives the files that were written. */
async function work(bench: OpenBench, key: string, options: PapersOptions): Promise<string[]> {
  const { note = [], row, evidence = [], setAside, reason, out } = options;
  const [{ notePaperText }, { evidenceFiles, evidenceIn, setEvidenceAside, takeEvidence }] = await Promise.all([
    import('../../app/bench/market-papers.ts'),
    import('../../app/bench/evidence.ts'),
  ]);
  if (note.length > 0) await bench.act((state) => note.flatMap((text) => notePaperText(state, key, text)));
  for (const file of evidence) {
    const content = await bench.ports.readBytes(file);
    await takeEvidence(bench, bench.signed(), { batch: key, paper: row!, name: file }, content);
  }
  if (setAside !== undefined)
    await bench.act((state) => {
      const { sha256 } = evidenceIn(state, key, setAside);
      return setEvidenceAside(state, key, { paper: row!, sha256, reason: reason! });
    });
  if (out === undefined) return [];
  const { writeWhole } = await import('../../host/files.ts');
  const written: string[] = [];
  for (const { file, evidence: kept } of evidenceFiles(bench.state, key, row)) {
    const content = await bench.store.file(kept.sha256);
    if (content === undefined)
      throw userError('workshop-damaged', `the file ${kept.name} is missing: go on with the newest backup`);
    await writeWhole(`${out}/${file}`, content);
    written.push(`${out}/${file}`);
  }
  return written;
}

async function look(bench: OpenBench, key: string): Promise<BatchPapersOutcome> {
  const [{ batchPapers }, { batchIn }, { planOfBatch }, { kitOfPlan }] = await Promise.all([
    import('../../app/bench/market-papers.ts'),
    import('../../app/bench/find.ts'),
    import('../../app/bench/state.ts'),
    import('../../app/bench/kit-of-plan.ts'),
  ]);
  const found = await kitOfPlan(bench.workshop, planOfBatch(bench.state, batchIn(bench.state, key)));
  return batchPapers(bench.state, key, { day: bench.ports.now().slice(0, 10), found });
}

function print(outcome: BatchPapersOutcome): void {
  sayFolded(outcome.verdict);
  say();
  const rows = outcome.papers.map((p) => [p.paper, p.asked ? p.state : `from ${p.from}`, evidenceOf(p), p.seen]);
  for (const row of table(['paper', 'state', 'evidence', 'rule'], rows, [0, 1, 2, 3])) say(row);
  sayNotes([outcome.antenna.said], 'Antenna');
  sayNotes(
    outcome.papers
      .filter((p) => outcome.missing.includes(p.paper))
      .map((p) => `${p.name}: ${p.wants}. Falls on: ${p.of}. Shown by: ${p.proof}. (${p.source})`),
    'Missing',
  );
  sayNotes(outcome.notes, 'Notes');
}

function evidenceOf({ evidence, files }: PaperRow): string {
  const counting = files.filter((file) => file.setAside === null);
  return [...(evidence === null ? [] : [evidence]), ...counting.map((f) => `${f.name} (${f.sha256.slice(0, 8)})`)].join(
    ', ',
  );
}
