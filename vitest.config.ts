import { defineConfig } from 'vitest/config';
import TestOrder from './tools/test-order.ts';

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    testTimeout: 60_000,
    // A database or a browser takes long to start on a busy machine.
    hookTimeout: 60_000,
    // Many tests wait for processes of their own: a third worker keeps two processors busy.
    maxWorkers: 3,
    // Files share their modules: core holds no state that changes, and reading it anew for each file takes a minute in all.
    isolate: false,
    sequence: { sequencer: TestOrder },
    // What a simulation throws away is young: a larger room for it is swept less often, one processor second in sixteen.
    execArgv: ['--max-semi-space-size=64'],
    reporters: [['default', { summary: false }], './tools/tally-reporter.ts'],
    coverage: {
      provider: 'v8',
      include: ['src/**/*.ts'],
      reporter: ['text-summary', 'html', 'json-summary'],
    },
  },
});
