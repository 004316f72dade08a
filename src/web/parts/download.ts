/** Pictures and tables as files. */
import { base64 } from '../../formats/base64.ts';

export function saveFile(name: string, data: Blob): void {
  const address = URL.createObjectURL(data);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

export const saveText = (name: string, text: string, type: string) =>
  saveFile(name, new Blob([text], { type: `${type};charset=utf-8` }));

/** The fonts of a picture that leaves the page, as base64; fetched once and only then. */
export async function embeddedFonts(): Promise<{ regular: string; bold: string; mono: string } | undefined> {
  const { regular, bold, mono } = await import('./font-files.ts');
  try {
    const [a, b, c] = await Promise.all([regular, bold, mono].map(base64Of));
    return { regular: a!, bold: b!, mono: c! };
  } catch {
    return undefined;
  }
}

const base64Of = async (address: string): Promise<string> =>
  base64(new Uint8Array(await (await fetch(address)).arrayBuffer()));

/** A picture that stands alone as PNG at twice its size, with the page's fonts and in the page's colours. */
export async function pngOf(svg: string): Promise<Blob> {
  const fonts = await embeddedFonts();
  const face = (weight: number, data: string) =>
    `@font-face{font-family:"Atkinson Hyperlegible Next";font-weight:${weight};src:url(data:font/woff2;base64,${data}) format("woff2")}`;
  const dressed = fonts ? svg.replace('<style>', `<style>${face(400, fonts.regular)}${face(700, fonts.bold)}`) : svg;
  const image = new Image();
  const address = URL.createObjectURL(new Blob([dressed], { type: 'image/svg+xml' }));
  try {
    image.src = address;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = image.naturalWidth * 2;
    canvas.height = image.naturalHeight * 2;
    const context = canvas.getContext('2d');
    if (context === null) throw new Error('this browser draws no pictures');
    context.drawImage(image, 0, 0, canvas.width, canvas.height);
    return await new Promise((resolve, reject) =>
      canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the picture could not be made'))), 'image/png'),
    );
  } finally {
    URL.revokeObjectURL(address);
  }
}
