import { EXIT } from '#core/program/program-error';

/** A second Ctrl-C sooner than this is npm passing the first one on. */
const REPEAT_MS = 1500;

/** Ctrl-C, SIGTERM or a closed terminal asks to stop; asked again later, the program goes at once. The returned
 *  function stops listening. */
export function onStopSignal(stop: () => void): () => void {
  let firstMs: number | null = null;
  const handle = () => {
    const now = performance.now();
    if (firstMs !== null && now - firstMs > REPEAT_MS) process.exit(EXIT.internal);
    firstMs ??= now;
    stop();
  };
  const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
  for (const signal of signals) process.on(signal, handle);
  return () => {
    for (const signal of signals) process.off(signal, handle);
  };
}
