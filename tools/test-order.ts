import { relative } from 'node:path';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

const BROWSERS = 'test/e2e/';
/** Tests that wait for processes, servers and stores more than they compute. */
const WAITING = ['test/cli/', 'test/server/', 'test/store/'];
/** Files between one with a browser and the next: long enough that one browser is at work at a time, mostly. */
const BETWEEN = 10;

/**
 * Puts files that wait and files that compute alternately, so that the processors have work while something is waited for. Those
 * with a browser, which are the longest, are spread over the first part of the run: not at once, and none left for the end.
 */
export default class TestOrder extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const under = (file: TestSpecification, folder: string) =>
      relative(process.cwd(), file.moduleId).startsWith(folder);
    const browsers = sorted.filter((file) => under(file, BROWSERS));
    const waiting = WAITING.flatMap((folder) => sorted.filter((file) => under(file, folder)));
    const computing = sorted.filter((file) => !browsers.includes(file) && !waiting.includes(file));
    const mixed: TestSpecification[] = [];
    while (waiting.length + computing.length + browsers.length > 0) {
      const next = mixed.length % BETWEEN === 0 ? browsers.shift() : undefined;
      const [first, second] = mixed.length % 2 === 0 ? [waiting, computing] : [computing, waiting];
      mixed.push(next ?? first.shift() ?? second.shift() ?? browsers.shift()!);
    }
    return mixed;
  }
}
