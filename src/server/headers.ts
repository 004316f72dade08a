import type { MiddlewareHandler } from 'hono';

/** No script, style or picture but our own; nothing may frame the pages; no inline script. */
export const PAGE_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ');

/** A report is a document by itself: its style and fonts are inside, and it runs nothing. */
export const REPORT_POLICY =
  "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox allow-downloads allow-modals";

/** What every answer carries (OWASP ASVS 5.0.0 V3.4.3, V3.4.4, V3.4.6). An answer may bring a policy or caching of its own. */
export const securityHeaders: MiddlewareHandler = async (c, next) => {
  await next();
  const { headers } = c.res;
  if (!headers.has('content-security-policy')) headers.set('content-security-policy', PAGE_POLICY);
  if (!headers.has('cache-control')) headers.set('cache-control', 'no-store');
  headers.set('x-content-type-options', 'nosniff');
  headers.set('x-frame-options', 'DENY');
  headers.set('referrer-policy', 'no-referrer');
  headers.set('cross-origin-opener-policy', 'same-origin');
  headers.set('cross-origin-embedder-policy', 'require-corp');
  headers.set('cross-origin-resource-policy', 'same-origin');
  headers.set('permissions-policy', 'camera=(self), microphone=(), payment=(), usb=(), geolocation=(self)');
};
