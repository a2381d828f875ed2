/** How far a long command has come: on a terminal in place, else a line every 10 s; on stderr. */

const EVERY_MS = { terminal: 200, log: 10_000 };

export function progressLine(
  stream: { readonly isTTY?: boolean; write(text: string): unknown },
  monotonicMs: () => number,
): { show: (what: string, part: number) => void; end: () => void } {
  const terminal = stream.isTTY === true;
  const everyMs = terminal ? EVERY_MS.terminal : EVERY_MS.log;
  let shownMs = monotonicMs();
  let shown = false;
  return {
    show(what, part) {
      const nowMs = monotonicMs();
      if (nowMs - shownMs < everyMs) return;
      shownMs = nowMs;
      shown = true;
      const text = `${what} ${Math.floor(part * 100)} %`;
      stream.write(terminal ? `\r${text.padEnd(40)}` : `${text}\n`);
    },
    end() {
      if (terminal && shown) stream.write(`\r${' '.repeat(40)}\r`);
    },
  };
}
