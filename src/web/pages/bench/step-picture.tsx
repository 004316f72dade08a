/** Drawing or photo at the step in hand, and the way to bring another. */
import { useState } from 'preact/hooks';
import type { UnitOutcome } from '../../../app/bench/looks.ts';
import type { Problem } from '../../../core/units/index.ts';
import { EVIDENCE_MOST_bytes } from '../../../records/bench/evidence-limit.ts';
import { drawingAddress, sendDrawing } from '../../api/bench.ts';
import { Problems } from '../../parts/problems.tsx';
import { benchTurn, chance, signer } from '../../state/bench.ts';
import { callProblems } from '../../state/workshop.ts';
import { base64Of } from './evidence.tsx';

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
      <Bring plan={plan} step={step.key} name={step.name} another={picture !== null} />
    </div>
  );
}

/** A file cannot wait in the browser as other records do: it is sent at once or not at all. */
function Bring(props: {
  readonly plan: string;
  readonly step: string;
  readonly name: string;
  readonly another: boolean;
}) {
  const { plan, step, name, another } = props;
  const [doing, setDoing] = useState('');
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const take = async (file: File) => {
    const by = signer.value.trim();
    const most = EVIDENCE_MOST_bytes / 1e6;
    setProblems([]);
    if (by === '')
      return setProblems([{ code: 'unsigned', message: 'say who you are first: every record of the bench is signed' }]);
    if (file.size > EVIDENCE_MOST_bytes)
      return setProblems([
        { code: 'large', message: `${file.name} is larger than ${most} MB: take it with fewer dots` },
      ]);
    setDoing(file.name);
    try {
      await sendDrawing({ plan, step, name: file.name.slice(-200), base64: await base64Of(file), by, token: chance() });
      benchTurn.value++;
    } catch (error) {
      setProblems(callProblems(error));
    } finally {
      setDoing('');
    }
  };
  return (
    <>
      <label class="evidence-bring">
        {doing === '' ? (
          <span>{another ? 'another photo or drawing' : 'add a photo or drawing'}</span>
        ) : (
          <span role="status">{doing} is being kept …</span>
        )}
        <input
          type="file"
          class="evidence-file"
          aria-label={`${another ? 'another photo or drawing' : 'add a photo or drawing'}: ${name}`}
          accept=".jpg,.jpeg,.png,.pdf,image/jpeg,image/png,application/pdf"
          disabled={doing !== ''}
          onChange={(event) => {
            const field = event.currentTarget;
            const [file] = [...(field.files ?? [])];
            if (file !== undefined)
              void take(file).then(() => {
                field.value = '';
              });
          }}
        />
      </label>
      <Problems list={problems} />
    </>
  );
}
