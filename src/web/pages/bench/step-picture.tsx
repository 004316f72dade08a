/** Drawing or photo at the step in hand, and the way to bring another. */
import type { UnitOutcome } from '../../../app/bench/unit-look.ts';
import { drawingAddress, sendDrawing } from '../../api/bench.ts';
import { BringFile } from './bring-file.tsx';

export function StepPicture({ plan, step }: { readonly plan: string; readonly step: UnitOutcome['steps'][number] }) {
  const { picture } = step;
  return (
    <div class="step-picture">
      {picture === null ? null : picture.type === 'application/pdf' ? (
        <p>
          <a href={drawingAddress(plan, step.key, picture.sha256)} download={picture.name}>
            drawing of {step.name} (PDF)
          </a>
        </p>
      ) : (
        <a href={drawingAddress(plan, step.key, picture.sha256)} target="_blank" rel="noreferrer">
          <img src={drawingAddress(plan, step.key, picture.sha256)} alt={`How it is done: ${step.name}`} />
        </a>
      )}
      <BringFile
        word={picture === null ? 'add a photo or drawing' : 'another photo or drawing'}
        name={step.name}
        accept=".jpg,.jpeg,.png,.pdf,image/jpeg,image/png,application/pdf"
        send={(file) => sendDrawing({ plan, step: step.key, ...file })}
      />
    </div>
  );
}
