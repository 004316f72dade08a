/** Antenna sweeps: drop what the analyser has saved, see match and usable band, and which of a batch stands out. */
import { signal } from '@preact/signals';
import { useCallback, useEffect, useId, useState } from 'preact/hooks';
import { markerAt } from '../../../core/antenna/index.ts';
import { REGIONS } from '../../../core/path/index.ts';
import type { Problem } from '../../../core/units/index.ts';
import { readTouchstone } from '../../../formats/touchstone.ts';
import { type SweepPicture, sweepChart, sweepSentence } from '../../../report/index.ts';
import { parseNumber } from '../../display/numbers.ts';
import { type DrawOptions, Picture } from '../../parts/picture.tsx';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import * as design from '../../state/design.ts';
import { notify } from '../../state/notices.ts';
import { decimal, figures, format } from '../../state/settings.ts';
import {
  bandOf,
  cellsOf,
  distinct,
  type Judged,
  judge,
  kitSettings,
  markerCells,
  markersOf,
  type SweepFile,
  spreadSentence,
  sweepCsv,
  sweepReadout,
} from './sweep-values.ts';
import './sweep.css';

/** They stay while one looks at other pages; nothing is sent. */
const files = signal<readonly SweepFile[]>([]);
const MOST_FILES = 200;
const MOST_BYTES = 50e6;
const USUAL_LIMIT = 2;

const unread = signal<readonly Problem[]>([]);

async function add(list: Iterable<File>): Promise<void> {
  const problems: Problem[] = [];
  const read: SweepFile[] = [];
  for (const file of list) {
    if (files.value.length + read.length >= MOST_FILES) {
      problems.push({ code: 'sweep.many', message: `More than ${MOST_FILES} files: the rest is left out.` });
      break;
    }
    if (file.size > MOST_BYTES)
      problems.push({
        code: 'sweep.size',
        message: `${file.name} has ${Math.round(file.size / 1e6)} MB: that is no sweep of one antenna.`,
      });
    else
      try {
        read.push({ name: file.name, text: await file.text() });
      } catch {
        problems.push({ code: 'sweep.read', message: `${file.name} cannot be read: is it a folder?` });
      }
  }
  unread.value = problems;
  files.value = [...files.value, ...read];
}

function put(next: readonly SweepFile[], said: string): void {
  const before = files.value;
  files.value = next;
  unread.value = [];
  notify(said, {
    label: 'Undo',
    act: () => {
      files.value = before;
    },
  });
}

/** Carrier of the kit in hand, where there is one. */
const carrierOf = (): number | undefined => {
  const kit = design.kitNow.value;
  return kit?.ok ? kit.value.radio?.frequency_MHz : undefined;
};

export function SweepSection() {
  const [region, setRegion] = useState('');
  const [markers, setMarkers] = useState<string | null>(null);
  const [limit, setLimit] = useState('');
  const carrier = carrierOf();
  const text = markers ?? (carrier === undefined ? '' : format.value.editable(carrier));
  const markers_MHz = markersOf(text, decimal);
  const limitVswr = limit.trim() === '' ? USUAL_LIMIT : parseNumber(limit, decimal);
  const limitFault: Problem[] =
    limitVswr !== undefined && limitVswr > 1 && limitVswr <= 20
      ? []
      : [{ code: 'sweep.limit', message: `"${limit.trim()}" is no limit: a standing-wave ratio above 1, at most 20` }];
  const markerFault: readonly Problem[] = 'code' in markers_MHz ? [markers_MHz] : [];
  const [result, setResult] = useState<Awaited<ReturnType<typeof judge>> | null>(null);
  const wanted = JSON.stringify([region, markers_MHz, limitVswr]);
  const list = files.value;
  useEffect(() => {
    if (limitFault.length > 0) return;
    let here = true;
    const settings = { region, markers_MHz: 'code' in markers_MHz ? [] : markers_MHz, limitVswr: limitVswr! };
    void judge(list, settings).then((found) => here && setResult(found));
    return () => {
      here = false;
    };
  }, [list, wanted]);
  const judged = list.length === 0 ? null : (result?.judged ?? null);
  return (
    <section id="sweeps" class="sweeps" aria-labelledby="sweeps-h">
      <h2 id="sweeps-h">Antenna sweeps</h2>
      <p class="said" role="status">
        {judged === null
          ? 'How well an antenna is matched, from the file that a network analyser has saved (.s1p); of several, which stand out.'
          : judged.verdict}
      </p>
      <Drop />
      {list.length === 0 ? null : (
        <Settings
          {...{ region, setRegion, limit, setLimit, limitFault, markerFault }}
          markers={text}
          setMarkers={setMarkers}
        />
      )}
      <Problems list={[...unread.value, ...(list.length === 0 ? [] : (result?.problems ?? []))]} />
      {judged === null ? null : <JudgedSweeps judged={judged} />}
      {list.length === 0 ? null : <Taken list={list} read={judged?.rows.map((r) => r.file) ?? []} />}
    </section>
  );
}

function Drop() {
  const [over, setOver] = useState(false);
  return (
    <label
      class={over ? 'drop over' : 'drop'}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        void add(event.dataTransfer?.files ?? []);
      }}
    >
      <span>Drop sweeps here, or choose files. They are read in this browser and sent nowhere.</span>
      <input
        type="file"
        multiple
        accept=".s1p,.S1P,.ts,.txt"
        onChange={(event) => {
          const input = event.currentTarget;
          void add([...(input.files ?? [])]).then(() => {
            input.value = '';
          });
        }}
      />
    </label>
  );
}

interface SettingsProps {
  readonly region: string;
  readonly setRegion: (region: string) => void;
  readonly markers: string;
  readonly setMarkers: (text: string) => void;
  readonly limit: string;
  readonly setLimit: (text: string) => void;
  readonly limitFault: readonly Problem[];
  readonly markerFault: readonly Problem[];
}

function Settings(p: SettingsProps) {
  const id = useId();
  const MHz = (value: number) => format.value.figure(value, 6);
  return (
    <div class="sweep-settings">
      <div>
        <label for={`${id}-r`}>band</label>
        <select id={`${id}-r`} value={p.region} onChange={(event) => p.setRegion(event.currentTarget.value)}>
          <option value="">none: the whole sweep</option>
          {REGIONS.map((region) => {
            const band = bandOf(region)!;
            return (
              <option key={region} value={region}>
                {region}: {MHz(band.from_MHz)}–{MHz(band.to_MHz)} MHz
              </option>
            );
          })}
        </select>
      </div>
      <div class={p.markerFault.length > 0 ? 'wrong' : undefined}>
        <label for={`${id}-m`}>markers, MHz</label>
        <input
          id={`${id}-m`}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          value={p.markers}
          aria-invalid={p.markerFault.length > 0}
          onInput={(event) => p.setMarkers(event.currentTarget.value)}
        />
        <Problems list={p.markerFault} />
      </div>
      <div class={p.limitFault.length > 0 ? 'wrong' : undefined}>
        <label for={`${id}-l`}>limit of the standing-wave ratio</label>
        <input
          id={`${id}-l`}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          placeholder={String(USUAL_LIMIT)}
          value={p.limit}
          aria-invalid={p.limitFault.length > 0}
          onInput={(event) => p.setLimit(event.currentTarget.value)}
        />
        <Problems list={p.limitFault} />
      </div>
    </div>
  );
}

function JudgedSweeps({ judged }: { readonly judged: Judged }) {
  const { picture, rows, batch } = judged;
  const written = figures.value;
  return (
    <>
      <MatchPicture picture={picture} {...(batch === null ? {} : { said: spreadSentence(batch, written) })} />
      <DataTable
        tight
        caption={`Match against a limit of ${written.number(picture.limitVswr, 1)}`}
        columns={[
          { key: 'file', head: 'sweep' },
          { key: 'state', head: 'state' },
          { key: 'least', head: 'lowest ratio', figures: true },
          { key: 'at', head: 'at, MHz', figures: true },
          { key: 'usable', head: 'within the limit, MHz', figures: true },
          { key: 'worst', head: 'worst in the band', figures: true },
          { key: 'loss', head: 'lost there, dB', figures: true },
          { key: 'use', head: <span class="unseen">use it</span> },
          { key: 'off', head: <span class="unseen">take it off</span> },
        ]}
        rows={rows.map((row) => ({
          key: row.file,
          cells: [...cellsOf(row, written), <UseInKit key="use" file={row.file} />, <Off key="off" file={row.file} />],
        }))}
      />
      {rows.every((row) => row.markers.length === 0) ? null : (
        <DataTable
          tight
          caption="At the markers"
          columns={[
            { key: 'file', head: 'sweep' },
            { key: 'f', head: 'marker, MHz', figures: true },
            { key: 'vswr', head: 'standing-wave ratio', figures: true },
            { key: 'loss', head: 'return loss, dB', figures: true },
            { key: 'lost', head: 'lost by mismatch, dB', figures: true },
          ]}
          rows={rows.flatMap((row) =>
            row.markers.map((m) => ({
              key: `${row.file} ${m.frequency_MHz}`,
              cells: markerCells(row.file, m, written),
            })),
          )}
        />
      )}
      {rows.flatMap((row) =>
        row.notes.map((note) => (
          <p key={`${row.file} ${note}`} class="quiet">
            {row.file}: {note}
          </p>
        )),
      )}
    </>
  );
}

function MatchPicture({ picture, said }: { readonly picture: SweepPicture; readonly said?: string }) {
  const draw = useCallback((o: DrawOptions) => sweepChart(picture, o), [picture]);
  return (
    <Picture
      id="match"
      level={3}
      heading="Match against frequency"
      said={said ?? sweepSentence(picture)}
      name={picture.sweeps.length === 1 ? picture.sweeps[0]!.name : `${picture.sweeps.length} antennas`}
      draw={draw}
      csv={() => sweepCsv(picture)}
      readout={({ x }) => sweepReadout(picture, x, figures.value)}
      steps={60}
    />
  );
}

/** Puts the measured match at the carrier into the kit in hand. */
function UseInKit({ file }: { readonly file: string }) {
  const kit = design.kitNow.value;
  const carrier = carrierOf();
  if (!kit?.ok || carrier === undefined) return null;
  const use = () => {
    const found = distinct(files.value).find((f) => f.name === file);
    if (found === undefined) return;
    try {
      const measured = kitSettings(kit.value, markerAt(readTouchstone(found.text, file).sweep, carrier));
      if (typeof measured === 'string') return notify(measured);
      design.adjust(measured.settings);
      design.endGesture();
      notify(`${kit.value.name}: ${measured.note}; a change that is not saved.`, { label: 'Undo', act: design.undo });
    } catch (error) {
      notify(error instanceof Error ? error.message : 'It cannot be used.');
    }
  };
  return (
    <button type="button" class="plain" aria-label={`use for ${kit.value.name}: the match of ${file}`} onClick={use}>
      use for {kit.value.name}
    </button>
  );
}

function Off({ file }: { readonly file: string }) {
  const list = files.value;
  const at = distinct(list).findIndex((f) => f.name === file);
  return (
    <button
      type="button"
      class="plain"
      aria-label={`take off ${file}`}
      onClick={() =>
        put(
          list.filter((_, k) => k !== at),
          `${file} was taken off.`,
        )
      }
    >
      take off
    </button>
  );
}

/** Takes off all, or one of those that could not be read and so stand in no table. */
function Taken({ list, read }: { readonly list: readonly SweepFile[]; readonly read: readonly string[] }) {
  const bad = distinct(list).filter((f) => !read.includes(f.name));
  const all = `${list.length === 1 ? 'One sweep was' : `${list.length} sweeps were`} taken off.`;
  return (
    <div class="actions sweep-files">
      <button type="button" onClick={() => put([], all)}>
        {list.length === 1 ? 'Take it off' : 'Take all off'}
      </button>
      {bad.length === 0 || read.length === 0 ? null : (
        <button
          type="button"
          onClick={() => {
            const names = new Set(distinct(list).flatMap((f, i) => (read.includes(f.name) ? [] : [i])));
            put(
              list.filter((_, i) => !names.has(i)),
              'What could not be read was taken off.',
            );
          }}
        >
          Take off what cannot be read
        </button>
      )}
    </div>
  );
}
