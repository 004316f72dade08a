/** A page of the bench whose thing is not there, with the ways on. */
import type { ComponentChildren } from 'preact';
import type { Problem } from '../../../core/units/index.ts';
import { Problems } from '../../parts/problems.tsx';
import { bench } from '../../routes.ts';
import { OnTheWay } from './signed.tsx';

interface NotShownProps {
  readonly said: string;
  readonly problems: readonly Problem[];
  readonly children: ComponentChildren;
}

export function NotShown({ said, problems, children }: NotShownProps) {
  return (
    <div class="page at-bench">
      <div class="thing">
        <a href={bench}>Bench</a>
      </div>
      <OnTheWay />
      <main>
        <h1>{said}</h1>
        <Problems list={problems} />
        {children}
      </main>
    </div>
  );
}
