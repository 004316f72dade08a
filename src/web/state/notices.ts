/** One line of news at a time, with what can be done about it. */
import { signal } from '@preact/signals';

export interface Notice {
  readonly text: string;
  readonly action?: { readonly label: string; readonly act: () => void | Promise<void> };
}

export const notice = signal<Notice | null>(null);

export function notify(text: string, action?: Notice['action']): void {
  notice.value = action === undefined ? { text } : { text, action };
}

export function dismiss(): void {
  notice.value = null;
}
