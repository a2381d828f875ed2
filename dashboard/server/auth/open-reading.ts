/** Looking without an account: on this machine, or by everybody who reaches it where that is said in so many words. */
import { EXIT, ProgramError } from '#core/program/program-error';
import { isLoopback, type Settings } from '../settings.ts';

/** Throws ProgramError where the settings would let others look whom nobody asked in. */
export function refuseOpenReading({ openReading, demo, http }: Settings): void {
  if (isLoopback(http.host)) return;
  if (demo) {
    throw new ProgramError(
      `--demo with --http ${http.host}: a demo signs people in by a link and stays on this machine; use 127.0.0.1.`,
      EXIT.configuration,
    );
  }
  if (openReading !== 'machine') return;
  throw new ProgramError(
    `--open-reading machine with --http ${http.host}: more than this machine could look; say --open-reading network ` +
      'to accept that everybody who reaches it may look without an account.',
    EXIT.configuration,
  );
}
