/** The shell: the way around, the news, and the page that the address names. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { shutOut } from './api/client.ts';
import { openSession } from './api/session.ts';
import { BenchLate } from './pages/bench/late.tsx';
import { DisplayPage } from './pages/display.tsx';
import { EditorPage } from './pages/editor.tsx';
import { EnergyPage } from './pages/energy/energy.tsx';
import { LogInPage } from './pages/log-in.tsx';
import { NewPage } from './pages/new.tsx';
import { NewNetPage } from './pages/new-net.tsx';
import { ReachLate } from './pages/reach/late.tsx';
import { StartPage } from './pages/start.tsx';
import { NotThere } from './pages/waiting.tsx';
import { bench, display, energyOf, followAddress, type Route, reachOf, route, start } from './routes.ts';
import { dismiss, notice } from './state/notices.ts';
import { callProblems, loadWorkshop, reachable } from './state/workshop.ts';

const TITLES: Readonly<Record<Route['page'], string>> = {
  start: 'Workshop',
  energy: 'Energy',
  reach: 'Reach',
  bench: 'Bench',
  unit: 'Unit',
  lot: 'Lot',
  order: 'Order',
  cost: 'Cost',
  kit: 'Kit',
  perch: 'Perch',
  net: 'Net',
  new: 'New',
  display: 'Display',
  unknown: 'Not found',
};

export function App() {
  const [open, setOpen] = useState<boolean | null>(null);
  useEffect(() => {
    openSession().then(setOpen, (error: unknown) => {
      callProblems(error);
      setOpen(true);
    });
  }, []);
  useEffect(followAddress, []);
  useFocusOnTurn();
  if (open === null) return null;
  return (
    <>
      <button type="button" class="skip" onClick={() => document.getElementById('content')?.focus()}>
        To the content
      </button>
      <Rail />
      <div class="content" id="content" tabIndex={-1}>
        <Away />
        {open && !shutOut.value ? (
          <Page />
        ) : (
          <LogInPage
            onOpen={() => {
              shutOut.value = false;
              setOpen(true);
            }}
          />
        )}
      </div>
      <News />
    </>
  );
}

const atBench = ({ page }: Route) => ['bench', 'unit', 'lot', 'order', 'cost'].includes(page);

function Page() {
  const now = route.value;
  switch (now.page) {
    case 'start':
      return <StartPage />;
    case 'energy':
      return <EnergyPage {...(now.kit ? { kit: now.kit } : {})} {...(now.perch ? { perch: now.perch } : {})} />;
    case 'reach':
      return <ReachLate {...(now.kit ? { kit: now.kit } : {})} {...(now.perch ? { perch: now.perch } : {})} />;
    case 'bench':
    case 'unit':
    case 'lot':
    case 'order':
    case 'cost':
      return <BenchLate at={now} />;
    case 'kit':
    case 'perch':
    case 'net':
      return <EditorPage key={now.id} kind={now.page} id={now.id} />;
    case 'new':
      return now.kind === 'net' ? <NewNetPage /> : <NewPage key={now.kind} kind={now.kind} />;
    case 'display':
      return <DisplayPage />;
    case 'unknown':
      return <NotThere problems={[{ code: 'no-such-page', message: `there is no page ${now.address}` }]} />;
  }
}

function Rail() {
  const now = route.value;
  const { page } = now;
  // A record that is being edited stays in hand when the question changes.
  const pair = now.page === 'kit' ? [now.id] : now.page === 'perch' ? [undefined, now.id] : [];
  const link = (address: string, word: string, here: boolean) => (
    <a href={address} aria-current={here ? 'page' : undefined}>
      {word}
    </a>
  );
  return (
    <nav class="rail" aria-label="Pages">
      {link(start, 'Sunperch', page === 'start')}
      {link(energyOf(...pair), 'Energy', page === 'energy' || page === 'kit' || page === 'perch')}
      {link(reachOf(...pair), 'Reach', page === 'reach')}
      {link(bench, 'Bench', atBench(route.value))}
      <span class="gap" />
      {link(display, 'Display', page === 'display')}
    </nav>
  );
}

/** Says that nobody answers, as long as that is so. */
function Away() {
  useEffect(() => {
    const again = () => void loadWorkshop();
    const gone = () => {
      reachable.value = false;
    };
    window.addEventListener('online', again);
    window.addEventListener('offline', gone);
    return () => {
      window.removeEventListener('online', again);
      window.removeEventListener('offline', gone);
    };
  }, []);
  if (reachable.value) return null;
  return (
    <p class="away" role="status">
      The workshop does not answer. What was read before is shown
      {atBench(route.value)
        ? ', and what is done waits in this browser.'
        : ' and can be computed; nothing can be saved.'}{' '}
      <button type="button" class="plain" onClick={() => void loadWorkshop()}>
        try again
      </button>
    </p>
  );
}

const SHOWN_ms = 12_000;

function News() {
  const now = notice.value;
  useEffect(() => {
    if (now === null) return;
    // News with a way back stays until it is taken or dismissed.
    const timer = now.action ? undefined : setTimeout(dismiss, SHOWN_ms);
    return () => clearTimeout(timer);
  }, [now]);
  return (
    <div class="news" role="status">
      {now === null ? null : (
        <p>
          {now.text}{' '}
          {now.action ? (
            <button
              type="button"
              onClick={() => {
                const { act } = now.action!;
                dismiss();
                Promise.resolve(act()).catch((error: unknown) => {
                  notice.value = { text: callProblems(error)[0]?.message ?? 'It did not work.' };
                });
              }}
            >
              {now.action.label}
            </button>
          ) : null}{' '}
          <button type="button" class="plain" onClick={dismiss}>
            dismiss
          </button>
        </p>
      )}
    </div>
  );
}

/** After a turn of page the focus stands at its top, and the window's title says where one is. */
function useFocusOnTurn(): void {
  const now = route.value;
  const turned = useRef(false);
  const name =
    now.page === 'kit' || now.page === 'perch' || now.page === 'net'
      ? `${now.page} ${now.id}`
      : now.page === 'unit'
        ? `unit ${now.serial}`
        : now.page === 'lot'
          ? `lot ${now.lot}`
          : now.page === 'order'
            ? `order ${now.order}`
            : now.page;
  useEffect(() => {
    document.title = `${TITLES[now.page]} – Sunperch`;
    if (turned.current) {
      window.scrollTo(0, 0);
      document.getElementById('content')?.focus({ preventScroll: true });
    }
    turned.current = true;
  }, [name]);
}
