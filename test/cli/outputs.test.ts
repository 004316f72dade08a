import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { checkOutputs } from '../../src/cli/outputs.ts';
import { problemsOf } from '../app/real-ports.ts';

const file = (name: string) => join(tmpdir(), name);

describe('files that a command is to write', () => {
  it('are told when the name ends as another kind of file does', async () => {
    expect(await problemsOf(() => checkOutputs({ '--png': file('map.jpg') }))).toMatchObject([
      { code: 'output-kind', field: '--png', message: expect.stringContaining('writes PNG') },
    ]);
    expect(await problemsOf(() => checkOutputs({ '--svg': file('chart.PNG') }))).toMatchObject([{ field: '--svg' }]);
  });

  it('may end as they like where that is no kind of its own', async () => {
    await checkOutputs({ '--png': file('map.PNG'), '--svg': file('chart'), '--out': file('field.tif') });
  });
});
