export function plainFont(woff: Buffer): Buffer;
