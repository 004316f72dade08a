import type { Progress } from '../app/ports.ts';

/**
 * Progress on standard error, only on a terminal and only once work has lasted a second; one line, overwritten and
 * wiped at the end. `now` gives milliseconds.
 */
export function terminalProgress(
  stream: NodeJS.WriteStream,
  now: () => number,
): { report: Progress; done: () => void } {
  const begun = now();
  let shown = false;
  let last = 0;
  return {
    report: (done, total, what) => {
      if (!stream.isTTY) return;
      const time = now();
      if (time - begun < 1000 || (time - last < 80 && done < total)) return;
      last = time;
      shown = true;
      const share = total > 0 ? Math.min(1, done / total) : 0;
      const bar = '█'.repeat(Math.round(share * 20)).padEnd(20, '·');
      stream.write(`\r\x1b[K${bar} ${Math.round(share * 100)} % ${what} (Ctrl-C stops)`);
    },
    done: () => {
      if (shown) stream.write('\r\x1b[K');
    },
  };
}
