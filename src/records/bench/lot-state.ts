import type { Content } from './entry.ts';

/** Why a lot is kept back after one more of its entries; null when it is not. */
export function keptBackAfter(before: string | null, content: Content): string | null {
  switch (content.kind) {
    case 'lot-quarantined':
      return content.reason;
    case 'lot-released':
      return null;
    case 'lot-inspected':
      return content.verdict === 'refused' ? 'refused at incoming inspection' : before;
    default:
      return before;
  }
}
