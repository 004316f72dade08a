/** What the coverage is of: circle, mast, other end, what stands on the ground; and what can be done with a perch that was moved. */
import { Problems, problemsAt } from '../../parts/problems.tsx';
import { Slider } from '../../parts/slider.tsx';
import { editorOf } from '../../routes.ts';
import * as design from '../../state/design.ts';
import { heightNow_m, isMoved, type OtherEnd, reachSettings, USUAL_SETTINGS } from '../../state/reach.ts';
import { kits } from '../../state/workshop.ts';
import { GroundCover } from './ground-cover.tsx';
import { SavePosition } from './save.tsx';

const LIMITS = {
  radius_km: { low: 1, high: 40, step: 0.5 },
  height_m: { low: 0.5, high: 60, step: 0.5 },
  targetHeight_m: { low: 0.5, high: 60, step: 0.5 },
} as const;
/** Height of a perch that tells none, as the computing takes it. */
const USUAL_HEIGHT_m = 4;

const number = (value: number | string, { low, high }: { readonly low: number; readonly high: number }) =>
  typeof value === 'number' && Number.isFinite(value) ? Math.min(high, Math.max(low, value)) : undefined;

export function ReachControls() {
  const now = reachSettings.value;
  const put = (part: Partial<typeof now>) => {
    reachSettings.value = { ...now, ...part };
  };
  const slide = (field: 'radius_km' | 'targetHeight_m', label: string) => (
    <Slider
      label={label}
      field={field}
      value={now[field]}
      {...LIMITS[field]}
      problems={[]}
      onChange={(value) => {
        const held = number(value, LIMITS[field]);
        if (held !== undefined) put({ [field]: held });
      }}
      onEnd={() => undefined}
    />
  );
  const problems = design.designProblems.value;
  const savedHeight_m = design.perchSaved.value?.ok ? design.perchSaved.value.value.height_m : undefined;
  const height_m = heightNow_m.value ?? savedHeight_m ?? USUAL_HEIGHT_m;
  const changed = design.changes.value.length > 0;
  return (
    <section class="what-if" aria-labelledby="reach-if-h">
      <h2 id="reach-if-h">What if</h2>
      <Slider
        label="antenna height"
        field="height_m"
        value={height_m}
        {...LIMITS.height_m}
        problems={problemsAt(problems, 'perch.height_m')}
        {...(savedHeight_m === undefined || savedHeight_m === height_m ? {} : { was: savedHeight_m })}
        onChange={(value) => design.adjust([`perch.height_m=${value}`], 'perch.height_m')}
        onEnd={design.endGesture}
      />
      <div class="control">
        <label class="control-line other-end">
          <span>the other end</span>
          <select
            value={now.to}
            onChange={(event) => {
              const to = event.currentTarget.value as OtherEnd;
              const kit = to.startsWith('kit:');
              put({
                to,
                targetHeight_m:
                  kit === now.to.startsWith('kit:')
                    ? now.targetHeight_m
                    : kit
                      ? height_m
                      : USUAL_SETTINGS.targetHeight_m,
              });
            }}
          >
            <option value="outdoors">hand-held, in the open</option>
            <option value="traditional">hand-held, in an old house</option>
            <option value="efficient">hand-held, in an insulated house</option>
            {kits.value.map((k) => (
              <option key={k.id} value={k.id}>
                {k.name}
              </option>
            ))}
          </select>
        </label>
      </div>
      {slide('targetHeight_m', 'its antenna height')}
      {slide('radius_km', 'circle looked at')}
      <GroundCover />
      <div class="actions">
        <button type="button" disabled={!design.canUndo.value} onClick={design.undo}>
          Undo
        </button>
        <button type="button" disabled={!design.canRedo.value} onClick={design.redo}>
          Redo
        </button>
        <button type="button" disabled={!changed} onClick={design.dropChanges}>
          As saved
        </button>
      </div>
      <SavePosition />
      <Problems list={problems.filter((p) => problemsAt([p], 'perch.height_m').length === 0)} />
      <p class="quiet">
        {isMoved.value ? 'A move is kept nowhere until it is saved. ' : ''}Everything else:{' '}
        <a href={editorOf('perch', design.perchRecord.value?.id ?? '')}>edit the perch</a>,{' '}
        <a href={editorOf('kit', design.kitRecord.value?.id ?? '')}>edit the kit</a>.
      </p>
    </section>
  );
}
