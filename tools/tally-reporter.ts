import { writeFileSync } from 'node:fs';
import type { Reporter, TestModule } from 'vitest/node';

/**
 * Prints `N passed, N failed, N skipped` as the last line of a run, a form that any log reader understands,
 * and leaves the same three numbers in the file that SUNPERCH_TALLY names.
 */
export default class TallyReporter implements Reporter {
  onTestRunEnd(modules: ReadonlyArray<TestModule>): void {
    const tally = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const state = test.result().state;
        if (state === 'passed') tally.passed++;
        else if (state === 'failed') tally.failed++;
        else tally.skipped++;
      }
      if (module.state() === 'failed' && [...module.children.allTests()].every((t) => t.result().state !== 'failed'))
        tally.failed++;
    }
    const file = process.env['SUNPERCH_TALLY'];
    if (file) writeFileSync(file, JSON.stringify(tally));
    console.log(`${tally.passed} passed, ${tally.failed} failed, ${tally.skipped} skipped`);
  }
}
