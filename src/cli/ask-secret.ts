/** Reads a line that is not shown: from the terminal without echo, else the first line of standard input. */
export async function askSecret(question: string): Promise<string> {
  const { stdin, stderr } = process;
  if (!stdin.isTTY) {
    stdin.setEncoding('utf8');
    let text = '';
    for await (const part of stdin) {
      text += part;
      if (text.includes('\n')) break;
    }
    return (text.split('\n')[0] ?? '').replace(/\r$/, '');
  }
  stderr.write(question);
  stdin.setRawMode(true);
  stdin.setEncoding('utf8');
  stdin.resume();
  try {
    return await new Promise((resolve, reject) => {
      let line = '';
      const hear = (text: string) => {
        for (const sign of text) {
          if (sign === '\r' || sign === '\n') {
            stdin.off('data', hear);
            resolve(line);
            return;
          }
          if (sign === '\u0003' || sign === '\u0004') {
            stdin.off('data', hear);
            reject(new Error('stopped while asking for the passphrase'));
            return;
          }
          line = sign === '\u007f' || sign === '\b' ? [...line].slice(0, -1).join('') : line + sign;
        }
      };
      stdin.on('data', hear);
    });
  } finally {
    stdin.setRawMode(false);
    stdin.pause();
    stderr.write('\n');
  }
}
