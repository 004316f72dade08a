import type { Problem } from '../../core/units/index.ts';
import { Problems } from '../parts/problems.tsx';
import { start } from '../routes.ts';

export function Waiting({ what }: { readonly what: string }) {
  return (
    <div class="page">
      <main>
        <p class="said" role="status">
          Reading {what} …
        </p>
      </main>
    </div>
  );
}

export function NotThere({ problems }: { readonly problems: readonly Problem[] }) {
  return (
    <div class="page">
      <main>
        <h1>This cannot be shown.</h1>
        <Problems list={problems} />
        <p>
          <a href={start}>To the workshop</a>
        </p>
      </main>
    </div>
  );
}
