// source: README, "Two commands": the verdict first; where no terminal is, and with --once, it ends by itself
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const NOT_BUILT = existsSync('dist/sunperch.mjs') ? undefined : 'not built: run npm run build';

describe.skipIf(NOT_BUILT)(`npm start ${NOT_BUILT ?? ''}`, () => {
  it('tells the verdict and how to open the workbench, and ends', () => {
    const { status, stdout, stderr } = spawnSync(process.execPath, ['tools/start.mjs', '--once'], { encoding: 'utf8' });
    expect(stderr.replace(/\r[^\n]*/g, '').trim()).toBe('');
    expect(status).toBe(0);
    expect(stdout).toMatch(/Alder 3 at Hut Kaldra stays up/);
    expect(stdout.trim().split('\n').at(-1)).toBe(
      'The same in the browser: bin/sunperch serve --demo --workshop out/demo.sunperch',
    );
    expect(existsSync('out/alder-3-at-hut-kaldra.html')).toBe(true);
  });
});
