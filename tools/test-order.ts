import { relative } from 'node:path';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Tests that wait for processes, servers and browsers more than they compute; the longest first. */
const WAITING = ['test/e2e/', 'test/cli/', 'test/server/', 'test/store/'];

/**
 * Puts files that wait and files that compute alternately, so that the processors have work while something is waited for,
 * and the long ones are not left over for the end.
 */
export default class TestOrder extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const rank = (file: TestSpecification) => {
      const path = relative(process.cwd(), file.moduleId);
      const place = WAITING.findIndex((folder) => path.startsWith(folder));
      return place < 0 ? WAITING.length : place;
    };
    const waiting = sorted.filter((file) => rank(file) < WAITING.length).sort((a, b) => rank(a) - rank(b));
    const computing = sorted.filter((file) => rank(file) === WAITING.length);
    const mixed: TestSpecification[] = [];
    for (let i = 0; i < Math.max(waiting.length, computing.length); i++)
      mixed.push(...[waiting[i], computing[i]].filter((f) => f !== undefined));
    return mixed;
  }
}
