/** Drawings and photos of steps: kept in the workshop, shown at the bench. */
import { userError } from '../../core/units/index.ts';
import { type ContentOf, DRAWING_TYPES, streamOf } from '../../records/bench/index.ts';
import { act, type Bench, type Deed, refresh, type Signed } from './act.ts';
import { evidenceName, evidenceType } from './evidence.ts';
import { planIn, stepIn } from './find.ts';
import { type BenchState, drawingKey, type KeptDrawing } from './state.ts';

export interface DrawingRequest {
  readonly plan: string;
  readonly step: string;
  readonly name: string;
}

type DrawingType = (typeof DRAWING_TYPES)[number];
const isDrawing = (type: string): type is DrawingType => (DRAWING_TYPES as readonly string[]).includes(type);

/**
 * Keeps a drawing for a step of the newest number of a plan; it is shown for all numbers that have the step.
 *
 * @throws UserError when the plan or the step is not there, or the file is neither JPEG, PNG nor PDF by its bytes
 */
export async function takeDrawing(
  bench: Bench,
  signed: Signed,
  { plan, step, name: called }: DrawingRequest,
  content: Uint8Array,
): Promise<{ readonly drawing: KeptDrawing; readonly again: boolean }> {
  const name = evidenceName(called);
  const type = evidenceType(content, name);
  if (!isDrawing(type))
    throw userError('drawing-kind', 'a JPEG, a PNG or a PDF is shown at a step: this is a text', { file: name });
  await refresh(bench);
  stepIn(planIn(bench.state, plan).plan, step);
  const sha256 = await bench.store.keepFile(content);
  const file = { step, name, type, bytes: content.length, sha256 };
  const written = await act(bench, signed, (state) => keepDrawing(state, plan, file));
  return { drawing: drawingIn(bench.state, plan, step, sha256), again: written.length === 0 };
}

function keepDrawing(state: BenchState, plan: string, file: Omit<ContentOf<'drawing-kept'>, 'kind'>): Deed[] {
  stepIn(planIn(state, plan).plan, file.step);
  if (state.drawings.get(drawingKey(plan, file.step))?.sha256 === file.sha256) return [];
  return [{ stream: streamOf('plan', plan), content: { kind: 'drawing-kept', ...file } }];
}

/**
 * What is shown at a step, if it is the one of that digest.
 *
 * @throws UserError when it is another, or none
 */
export function drawingIn(state: BenchState, plan: string, step: string, sha256: string): KeptDrawing {
  const kept = state.drawings.get(drawingKey(plan, step));
  if (kept === undefined || kept.sha256 !== sha256)
    throw userError(
      'no-such-drawing',
      `step ${step} of plan ${plan} shows no file with the digest ${sha256.slice(0, 12)}`,
    );
  return kept;
}
