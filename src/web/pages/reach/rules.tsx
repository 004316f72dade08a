/** The radio rules of a region, held against both ends. */
import { useEffect, useState } from 'preact/hooks';
import { type LimitLines, limitLines } from '../../../app/limit-lines.ts';
import { REGION_NAMES } from '../../../app/limits.ts';
import { readEnds } from '../../../app/path-ends.ts';
import { LIMITS_CAUTION, REGIONS } from '../../../core/path/index.ts';
import type { Problem } from '../../../core/units/index.ts';
import { Problems } from '../../parts/problems.tsx';
import { type ReachSettings, radioKey, reachSettings } from '../../state/reach.ts';
import { region } from '../../state/region.ts';
import { callProblems, loadRecord } from '../../state/workshop.ts';
import { textInHand } from './other-perches.ts';

export function Rules() {
  const now = region.value;
  const [told, setTold] = useState<LimitLines | null>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  useEffect(() => {
    if (now === '' || radioKey.value === '') return setTold(null);
    let here = true;
    linesOf(now, reachSettings.value).then(
      (lines) => {
        if (!here) return;
        setTold(lines);
        setProblems([]);
      },
      (error: unknown) => here && setProblems(callProblems(error)),
    );
    return () => {
      here = false;
    };
  }, [now, radioKey.value, reachSettings.value.to, reachSettings.value.targetHeight_m]);
  return (
    <section class="rules" aria-labelledby="rules-h">
      <h2 id="rules-h">Radio rules</h2>
      <label class="control-line other-end">
        <span>of</span>
        <select
          value={now}
          onChange={(event) => {
            region.value = event.currentTarget.value;
          }}
        >
          <option value="">no region chosen</option>
          {REGIONS.map((code) => (
            <option key={code} value={code}>
              {REGION_NAMES[code]}
            </option>
          ))}
        </select>
      </label>
      {told === null ? null : (
        <>
          {told.lines.map((line) => (
            <p key={line.end}>
              <b>{line.end}</b>, {line.within ? 'within ●' : 'not within ○'}: {line.text}
            </p>
          ))}
          <p class="quiet">{LIMITS_CAUTION}</p>
        </>
      )}
      <Problems list={problems} />
    </section>
  );
}

/** Both ends are read as the coverage reads them. */
async function linesOf(code: string, { to, targetHeight_m }: ReachSettings): Promise<LimitLines> {
  const files: Readonly<Record<string, string>> = {
    'here.yaml': textInHand('perch'),
    'kit.yaml': textInHand('kit'),
    'far-kit.yaml': to.startsWith('kit:') ? (await loadRecord(to)).text : '',
  };
  const nothing = (what: string) => () => Promise.reject(new RangeError(`rules: ${what} plays no part`));
  const ends = await readEnds(
    {
      readText: async (path) => files[path] ?? '',
      readWeather: nothing('weather'),
      progress: () => undefined,
      runTasks: nothing('a task'),
    },
    {
      a: 'here.yaml',
      kitA: 'kit.yaml',
      ...(to.startsWith('kit:') ? { kitB: 'far-kit.yaml' } : {}),
      toHeight_m: targetHeight_m,
    },
    [],
  );
  return limitLines(code, [ends.a, ends.b]);
}
