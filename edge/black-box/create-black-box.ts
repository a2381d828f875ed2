/** The black box of an edge as its configuration wants it; null where it is off or the source gives no bytes. */
import type { RecordClock } from '../clock/record-clock.ts';
import type { EdgeConfig } from '../config/edge-config.ts';
import type { InternalEvents } from '../internal-events.ts';
import { diskSpaceAt } from '../outbox/room-maker.ts';
import type { StorageWatch } from '../outbox/storage-watch.ts';
import { BlackBox } from './black-box.ts';

const DEFAULT_BYTES = 64e6;
/** On a small file system less: the store counts more. */
const DEFAULT_SHARE = 0.02;

export interface BlackBoxParts {
  readonly config: EdgeConfig;
  readonly stream: string;
  readonly clock: RecordClock;
  readonly storage: StorageWatch;
  readonly events: InternalEvents;
  readonly tell: (text: string, data: Record<string, string | number | null>) => void;
}

export function createBlackBox(parts: BlackBoxParts): BlackBox | null {
  const { config, stream, clock, storage, events, tell } = parts;
  const { blackBox, source, origin } = config;
  // A recording needs no second one; a Modbus master has registers, not a stream of bytes.
  if (!blackBox.enabled || !/^(serial|tcp):/.test(source.url)) return null;
  const disk = diskSpaceAt(blackBox.folder);
  const share = disk ? DEFAULT_SHARE * disk.totalBytes : DEFAULT_BYTES;
  return new BlackBox({
    folder: blackBox.folder,
    budgetBytes: blackBox.budgetBytes ?? Math.min(DEFAULT_BYTES, share),
    maxAgeH: blackBox.maxAgeH,
    recordNowUs: () => clock.nowUs(),
    header: () => ({
      stream,
      origin,
      source: source.url.slice(0, 200),
      utcMinusRecordMs: clock.utcMinusRecordMs(),
    }),
    mayWrite: () => storage.state?.level !== 'thinning',
    onTrouble: ({ leftOut, reason }) => {
      events.emit(reason === null ? 'blackBoxLeftOut' : 'blackBoxFailed', { bytes: leftOut, reason });
      const text =
        reason === null
          ? `${leftOut} raw bytes were not kept in the black box: the disk was too slow; samples are not affected`
          : `the black box cannot be written (${reason}); samples are not affected`;
      tell(text, { blackBox: reason === null ? 'leftOut' : 'failed', bytes: leftOut });
    },
  });
}
