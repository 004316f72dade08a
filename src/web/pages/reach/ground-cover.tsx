/** What stands on the ground: told by one number, or by a file of polygons; and links that were measured there. */
import { useState } from 'preact/hooks';
import { type CoverFile, readCover } from '../../../app/cover-file.ts';
import { aroundTexts } from '../../../app/cover-words.ts';
import { type Problem, UserError } from '../../../core/units/index.ts';
import { readMeasuredLinks } from '../../../formats/measured-links.ts';
import type { FileInput } from '../../../server/api.ts';
import { problemsOf } from '../../compute/engine.ts';
import { FileDrop } from '../../parts/file-drop.tsx';
import { Problems } from '../../parts/problems.tsx';
import { Slider } from '../../parts/slider.tsx';
import { cover, coverText, kindText, MOST_TEXT, measuredText, putFile } from '../../state/around.ts';
import { coverage } from '../../state/coverage.ts';
import { terrain } from '../../state/ground.ts';
import type { FileKind } from '../../state/kept-files.ts';
import { notify } from '../../state/notices.ts';
import { perchId, type ReachSettings, reachSettings } from '../../state/reach.ts';
import { reader } from './reader.ts';
import { lengthText } from './words.ts';

const LIMITS = {
  clutter_m: { low: 1, high: 30, step: 1 },
  woods_m: { low: 10, high: 500, step: 10 },
} as const;
const DEMO = { terrain: 'Ossel valley (invented)', name: 'ossel-cover.geojson' } as const;

export function GroundCover() {
  const now = reachSettings.value;
  const file = cover.value;
  const slide = (field: 'clutter_m' | 'woods_m', label: string, note: string) => (
    <Slider
      label={label}
      field={field}
      value={now[field]}
      {...LIMITS[field]}
      problems={[]}
      note={note}
      onChange={(value) => {
        const { low, high } = LIMITS[field];
        if (typeof value === 'number' && Number.isFinite(value))
          reachSettings.value = { ...reachSettings.value, [field]: Math.min(high, Math.max(low, value)) };
      }}
      onEnd={() => undefined}
    />
  );
  return (
    <>
      {file === null ? (
        <div class="control">
          <label class="control-line other-end">
            <span>ground cover</span>
            <select
              value={now.ground}
              onChange={(event) => {
                reachSettings.value = {
                  ...reachSettings.value,
                  ground: event.currentTarget.value as ReachSettings['ground'],
                };
              }}
            >
              <option value="bare">bare ground</option>
              <option value="even">the same height all over</option>
              <option value="woods">wood at the other end</option>
            </select>
          </label>
        </div>
      ) : (
        <InHand kind="cover" name={file.file} what="ground cover">
          <CoverList file={file} />
        </InHand>
      )}
      {file !== null || now.ground !== 'even'
        ? null
        : slide('clutter_m', 'its height', 'Woods or houses on all the ground between the ends.')}
      {file !== null || now.ground !== 'woods'
        ? null
        : slide(
            'woods_m',
            'wood to its edge',
            'How far the other end stands in the wood; another perch stands above it.',
          )}
      {measuredText.value === null ? null : (
        <InHand kind="measured" name={measuredText.value.name} what="measured links">
          <Told />
        </InHand>
      )}
      <TakeFile
        kind="cover"
        summary="ground cover from a file"
        says="GeoJSON: polygons with the property class (woods, low plants, houses, town, dense town, water, open); height_m and loss_dB where they are known."
        accept=".geojson,.json"
        check={readCover}
        {...(terrain.value?.name === DEMO.terrain && coverText.value?.name !== DEMO.name ? { offered: DEMO.name } : {})}
      />
      <TakeFile
        kind="measured"
        summary="measured links from a file"
        says="CSV with the first line link,snr_dB,date; a link is FROM > TO, perches and places by their names, and the ratio is what the receiver told. They move the computed loss and narrow its error, for coverage, places and candidates."
        accept=".csv,.txt"
        check={readMeasuredLinks}
      />
    </>
  );
}

/** A file in hand, with the way to take it off again. */
function InHand(props: {
  readonly kind: FileKind;
  readonly name: string;
  readonly what: string;
  readonly children: preact.ComponentChildren;
}) {
  const { kind, name, what } = props;
  const drop = () => {
    const perch = perchId.peek();
    const before = putFile(kind, null);
    notify(`${name} counts no more.`, { label: 'Undo', act: () => void putFile(kind, before, perch) });
  };
  return (
    <div class="control file-in-hand">
      <p class="control-line">
        <span>
          {what} of <b>{name}</b>
        </span>
        <button type="button" class="plain" aria-label={`take ${name} off`} onClick={drop}>
          take off
        </button>
      </p>
      {props.children}
    </div>
  );
}

/** The classes of a file with the share of the ground that each has, once that is known. */
function CoverList({ file }: { readonly file: CoverFile }) {
  const read = reader();
  const told = coverage.value?.answer.outcome.cover ?? null;
  return (
    <ul class="cover-kinds">
      {file.kinds.map((kind, i) => {
        const share = told?.file === file.file ? told.classes[i]?.share : undefined;
        if (i === 0 && share === undefined) return null;
        return (
          <li key={i}>
            <span class={`cover-line ${classOf(kind.cover)}`} aria-hidden="true" />
            {kindText(file, i, (m) => lengthText(read, 'height_m', m))}
            {share === undefined ? '' : `, on ${read.format.figure(100 * share, 2)} % of the ground`}
          </li>
        );
      })}
    </ul>
  );
}

/** Name of a class in the style sheet. */
export const classOf = (word: string): string => `is-${word.replaceAll(' ', '-')}`;

/** What the measured links have done, in the server's words. */
function Told() {
  const outcome = coverage.value?.answer.outcome;
  if (outcome === undefined || outcome.measured === null) return null;
  return (
    <>
      {aroundTexts({ cover: null, measured: outcome.measured }).map((text) => (
        <p key={text}>{text}</p>
      ))}
    </>
  );
}

function TakeFile(props: {
  readonly kind: FileKind;
  readonly summary: string;
  readonly says: string;
  readonly accept: string;
  readonly check: (text: string, name: string) => unknown;
  /** The demo's own file. */
  readonly offered?: string;
}) {
  const { kind, summary, says, accept, check, offered } = props;
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const take = (file: FileInput) => {
    try {
      check(file.text, file.name);
    } catch (error) {
      setProblems(problemsOf(error));
      return;
    }
    setProblems([]);
    const perch = perchId.peek();
    const before = putFile(kind, file);
    notify(`${file.name} counts now.`, { label: 'Undo', act: () => void putFile(kind, before, perch) });
  };
  const read = async ([file]: readonly File[]) => {
    if (file === undefined) return;
    const most = MOST_TEXT[kind];
    if (file.size <= most) take({ name: file.name.slice(0, 200), text: await file.text() });
    else
      setProblems(
        problemsOf(
          new UserError({
            code: 'size',
            message: `${file.name} is larger than ${most / 1e6} MB: cut it to the circle`,
          }),
        ),
      );
  };
  return (
    <details class="point-files">
      <summary>{summary}</summary>
      <p class="quiet">{says}</p>
      {offered === undefined ? null : (
        <p>
          <button type="button" onClick={() => void demoCover().then(take)}>
            Take {offered} of the demo
          </button>
        </p>
      )}
      <FileDrop label="a file, or drop it here" accept={accept} onFiles={read} />
      <Problems list={problems} />
    </details>
  );
}

/** The woods and houses of the invented valley. */
async function demoCover(): Promise<FileInput> {
  const { default: text } = await import('../../../../examples/ossel-cover.geojson?raw');
  return { name: DEMO.name, text };
}
