/** Opening a unit by its code: a scanner that types like a keyboard anywhere on the page, a field, or the camera. */
import { useEffect, useRef, useState } from 'preact/hooks';
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

interface Detector {
  detect(source: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}
declare global {
  interface Window {
    BarcodeDetector?: new (options: { formats: string[] }) => Detector;
  }
}

/** Why the camera cannot be used here, in a sentence; undefined where it can. */
export function whyNoCamera(): string | undefined {
  if (!window.isSecureContext)
    return 'The camera can be used on this machine or over an encrypted connection only: type the serial, or use a scanner.';
  if (!navigator.mediaDevices?.getUserMedia)
    return 'This browser gives no camera to pages: type the serial, or use a scanner.';
  if (!window.BarcodeDetector)
    return 'This browser cannot read codes in a picture: type the serial, or use a scanner at the keyboard.';
  return undefined;
}

/** How often a picture of the camera is looked at, ms. */
const LOOK_ms = 200;

export function Camera() {
  const [on, setOn] = useState(false);
  const [said, setSaid] = useState('');
  const video = useRef<HTMLVideoElement>(null);
  useEffect(() => {
    if (!on) return;
    let stream: MediaStream | undefined;
    let ended = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const run = async () => {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } });
      const node = video.current;
      if (ended || node === null) return;
      node.srcObject = stream;
      await node.play();
      const detector = new window.BarcodeDetector!({ formats: ['qr_code', 'code_128'] });
      const look = async () => {
        const [code] = await detector.detect(node).catch(() => []);
        if (ended) return;
        if (code !== undefined && code.rawValue.trim() !== '') {
          setOn(false);
          open(code.rawValue);
        } else timer = setTimeout(look, LOOK_ms);
      };
      await look();
    };
    run().catch((error: unknown) => {
      setOn(false);
      setSaid(
        error instanceof DOMException && error.name === 'NotAllowedError'
          ? 'The camera was not allowed: allow it in the browser, or type the serial.'
          : 'The camera does not start: is it in use elsewhere? Type the serial meanwhile.',
      );
    });
    return () => {
      ended = true;
      clearTimeout(timer);
      for (const track of stream?.getTracks() ?? []) track.stop();
    };
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
        <p class="quiet" role="status">
          {said}
        </p>
      )}
    </>
  );
}
