import type { ReadContext } from './problems.ts';
import { count } from './problems.ts';

/** No row of any weather format comes near this; a longer line means that the file is something else. */
export const LONGEST_LINE = 100_000;
/** 200 years of hours, leap days included, with room for headers. */
export const MOST_ROWS = 1_760_000;

/** Text is cut into pieces of this size before it is split, so that one huge chunk costs no more than many small ones. */
const PIECE = 65_536;

export interface LineSplitter {
  push(text: string): void;
  /** Hands over the last line if it has no line end, and tells of mixed line ends. */
  end(): void;
}

/**
 * Cuts a stream of text into complete lines; LF, CRLF and CR all end one, also mixed and also cut apart by a chunk.
 *
 * `emit` gets batches of lines with the number (from 1) of the first. Only the unfinished line is held. A line over
 * 100,000 characters or more lines than 200 years need throws a UserError from `push`.
 */
export function lineSplitter(context: ReadContext, emit: (lines: string[], firstLine: number) => void): LineSplitter {
  let rest = '';
  let nextLine = 1;
  let heldReturn = false;
  let crlf = 0;

  const hand = (text: string) => {
    const lines = text.split('\n');
    for (let i = 0; i < lines.length; i++) {
      if (lines[i]!.length > LONGEST_LINE) tooLong(nextLine + i);
    }
    if (nextLine + lines.length > MOST_ROWS + 1000) {
      context.problems.fail(
        'weather.tooManyRows',
        `The file has more than ${count(MOST_ROWS)} rows, which is 200 years of hours: at most 200 years are read. Cut it, or give one place a file.`,
      );
    }
    emit(lines, nextLine);
    nextLine += lines.length;
  };
  const tooLong = (line: number): never =>
    context.problems.fail(
      'weather.longLine',
      `Line ${count(line)} is longer than ${count(LONGEST_LINE)} characters: this is no weather file of hourly or daily rows.`,
      { line },
    );

  const take = (piece: string) => {
    let text = heldReturn ? `\r${piece}` : piece;
    heldReturn = text.endsWith('\r');
    if (heldReturn) text = text.slice(0, -1);
    if (text.includes('\r')) {
      text = text.replace(/\r\n?/g, (end) => {
        if (end.length === 2) crlf++;
        return '\n';
      });
    }
    const last = text.lastIndexOf('\n');
    if (last === -1) {
      rest += text;
      if (rest.length > LONGEST_LINE) tooLong(nextLine);
      return;
    }
    const complete = rest + text.slice(0, last);
    rest = text.slice(last + 1);
    hand(complete);
  };

  return {
    push(text) {
      for (let at = 0; at < text.length; at += PIECE) take(text.slice(at, at + PIECE));
    },
    end() {
      if (heldReturn) take('\n');
      if (rest !== '') hand(rest);
      rest = '';
      const ends = nextLine - 1;
      if (crlf > 0 && ends - crlf > 1) {
        context.notes.push(`Line ends are mixed: ${count(crlf)} CRLF, ${count(ends - crlf)} others; all are read.`);
      }
    },
  };
}
