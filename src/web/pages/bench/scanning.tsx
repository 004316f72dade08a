/** Opening a unit by its code: a scanner that types like a keyboard anywhere on the page, a field, or the camera. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { getUnit } from '../../api/bench.ts';
import { Refused } from '../../api/client.ts';
import { go, unitOf } from '../../routes.ts';
import { createBurst, serialIn } from '../../state/scan.ts';

const open = (code: string) => go(unitOf(serialIn(code)));

type Typed = HTMLInputElement | HTMLTextAreaElement;
const fieldOf = (node: Element | null): Typed | null =>
  node instanceof HTMLTextAreaElement || (node instanceof HTMLInputElement && node.type === 'text') ? node : null;

/** Listens for bursts of keys; what a scanner has typed into a field on its way is taken out again. */
export function useScanner(): void {
  useEffect(() => {
    const burst = createBurst();
    let field: Typed | null = null;
    let before = '';
    const hear = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
      const code = burst.press(event.key, event.timeStamp);
      // The value as it was before the first key of what may become a burst.
      if (burst.length === 1) {
        field = fieldOf(document.activeElement);
        before = field?.value ?? '';
      }
      if (code === undefined) return;
      event.preventDefault();
      event.stopPropagation();
      if (field !== null && field.value !== before && !field.dataset['scan']) {
        field.value = before;
        field.dispatchEvent(new Event('input', { bubbles: true }));
      }
      if (field?.dataset['scan']) field.value = '';
      open(code);
    };
    window.addEventListener('keydown', hear, true);
    return () => window.removeEventListener('keydown', hear, true);
  }, []);
}

/** Why the camera cannot be used here, in a sentence; undefined where it can. */
export function whyNoCamera(): string | undefined {
  if (!window.isSecureContext)
    return 'The camera can be used on this machine or over an encrypted connection only: type the serial, or use a scanner.';
  if (!navigator.mediaDevices?.getUserMedia)
    return 'This browser gives no camera to pages: type the serial, or use a scanner.';
  return undefined;
}

/** Why the camera did not start, by the name of what the browser threw (Media Capture and Streams, section 10.2). */
function whyNotStarted(error: unknown): string {
  switch (error instanceof DOMException ? error.name : '') {
    case 'NotAllowedError':
    case 'SecurityError':
      return 'The camera was not allowed: allow it in the browser’s settings for this page, or type the serial.';
    case 'NotFoundError':
    case 'OverconstrainedError':
      return 'There is no camera at this device: type the serial, or use a scanner.';
    case 'NotReadableError':
    case 'AbortError':
      return 'The camera does not start: is it in use elsewhere? Type the serial meanwhile.';
    default:
      return 'The camera or the reader of its codes could not be loaded: try again, or type the serial.';
  }
}

/** How often a picture of the camera is looked at, ms. */
const LOOK_ms = 150;

/** Opens what a code says, if it is a unit of this workshop; else says what it is not. */
async function openScanned(code: string): Promise<string | undefined> {
  const serial = serialIn(code);
  try {
    const { unit } = await getUnit(serial);
    go(unitOf(unit.serial));
  } catch (error) {
    // Nobody there to ask: the page itself shows what was kept.
    if (!(error instanceof Refused)) go(unitOf(serial));
    else {
      const shown = code.length > 60 ? `${code.slice(0, 60)}…` : code;
      const slip = error.problems.find((p) => p.code === 'mistyped-serial' && code.length < 20);
      return slip === undefined
        ? `This code says “${shown}”: no unit of this workshop. Hold another into the picture.`
        : `This code says “${shown}”: ${slip.message}.`;
    }
  }
  return undefined;
}

/** Runs the camera into `video` until it is ended; every code is given to `onCode` once, until another comes. */
async function watch(video: HTMLVideoElement, onCode: (code: string) => Promise<void>, ended: AbortSignal) {
  const starting = navigator.mediaDevices.getUserMedia({
    video: { facingMode: 'environment', width: { ideal: 1280 }, height: { ideal: 720 } },
  });
  const [stream, { codeReader }] = await Promise.all([starting, import('../../compute/code-reader.ts')]).catch(
    async (error: unknown) => {
      // The camera may have started although the reader could not be loaded.
      for (const track of (await starting.catch(() => undefined))?.getTracks() ?? []) track.stop();
      throw error;
    },
  );
  const reader = await codeReader();
  const end = () => {
    for (const track of stream.getTracks()) track.stop();
    reader.close();
    video.srcObject = null;
  };
  // Ended while somebody was being asked whether the camera may be used: its light goes out at once.
  if (ended.aborted) return end();
  ended.addEventListener('abort', end, { once: true });
  video.srcObject = stream;
  await video.play();
  let last = '';
  while (!ended.aborted) {
    // Pulled out, or taken by another program.
    if (!stream.active) throw new DOMException('the camera has ended', 'NotReadableError');
    const code = (await reader.look(video))?.trim() ?? '';
    if (ended.aborted) return;
    if (code !== '' && code !== last) {
      last = code;
      await onCode(code);
    }
    await new Promise((resolve) => setTimeout(resolve, LOOK_ms));
  }
}

/** A button that opens the camera, and its picture; the camera is off again once a unit is found, the page left or hidden. */
export function Camera() {
  const [on, setOn] = useState(false);
  const [said, setSaid] = useState('');
  const video = useRef<HTMLVideoElement>(null);
  useEffect(() => {
    if (!on) return;
    const ending = new AbortController();
    const ended = ending.signal;
    const close = (why: string) => {
      setOn(false);
      setSaid(why);
    };
    const hide = () => document.hidden && close('The camera was closed while this page was out of sight.');
    document.addEventListener('visibilitychange', hide, { signal: ended });
    const onCode = async (code: string) => {
      const why = await openScanned(code);
      if (ended.aborted) return;
      if (why === undefined) close('');
      else setSaid(why);
    };
    watch(video.current!, onCode, ended).catch((error: unknown) => {
      if (!ended.aborted) close(whyNotStarted(error));
    });
    return () => ending.abort();
  }, [on]);
  const press = () => {
    const why = whyNoCamera();
    setSaid(why ?? '');
    if (why === undefined) setOn(!on);
  };
  return (
    <>
      <button type="button" onClick={press}>
        {on ? 'Close the camera' : 'Scan with the camera'}
      </button>
      {on ? (
        <video ref={video} class="camera" muted playsInline aria-label="Picture of the camera: hold the code into it" />
      ) : null}
      {said === '' ? null : (
        <p class="camera-said" role="status">
          {said}
        </p>
      )}
    </>
  );
}
