import type { Command } from 'commander';
import { type BenchOptions, deedCommand, withBench } from '../bench.ts';
import { gather } from '../options.ts';
import { say, sayJson, table } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';

/** `sunperch batch papers`: what the market of a batch asks for, and the evidence that is there. */
export function registerBatchPapers(group: Command): void {
  deedCommand(group, 'papers <key>', 'Papers that the market of a batch asks for, and what is missing.')
    .option('--note <row=state:evidence>', 'notes one, host-label=there:photo-3.jpg; may be given again', gather)
    .action(async (key: string, options: BenchOptions & { note?: string[] }) => {
      const { batchPapers, notePaperText } = await import('../../app/bench/market-papers.ts');
      const outcome = await withBench(options, async (bench) => {
        const notes = options.note ?? [];
        if (notes.length > 0) await bench.act((state) => notes.flatMap((note) => notePaperText(state, key, note)));
        return batchPapers(bench.state, key);
      });
      if (options.json) return sayJson(outcome);
      sayFolded(outcome.verdict);
      say();
      const rows = outcome.papers.map((p) => [p.paper, p.state, p.evidence ?? '', p.known]);
      for (const row of table(['paper', 'state', 'evidence', 'rule'], rows, [0, 1, 2, 3])) say(row);
      sayNotes(
        outcome.papers
          .filter((p) => outcome.missing.includes(p.paper))
          .map((p) => `${p.name}: ${p.wants} (${p.source})`),
        'Missing',
      );
      sayNotes(outcome.notes, 'Notes');
    });
}
