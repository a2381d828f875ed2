/**
 * Everything a decoder accepted or threw away since it was made, by name. Nothing is dropped uncounted.
 *
 * - frames: whole and with a right checksum, announcements included (delimited: readable lines)
 * - samples: handed on
 * - badCrc, tooLong, notAscii, malformed (right checksum, wrong grammar), foreignLines (not begun like ours)
 * - unknownVersion: an announcement of a protocol we do not speak
 * - unknownChannel: announced channels left out because letter or unit is unknown or given twice
 * - beforeAnnounce: data whose announcement has not been seen
 * - lostFrames: missing by the frame counter · duplicateFrames · outOfOrder: earlier than what came before
 * - restarts: the device began again
 * - impossibleSamples: current or voltage that cannot be; the sample is left out
 * - impossibleValues: any other value that cannot be; only that value becomes unknown
 * - unreadableCells: delimited cells of other channels that are no number
 * - discardedBytes: all bytes of all discards; skippedBytes: those before the first frame after opening
 */
export interface FrameCounters {
  frames: number;
  samples: number;
  announcements: number;
  badCrc: number;
  tooLong: number;
  notAscii: number;
  malformed: number;
  foreignLines: number;
  unknownVersion: number;
  unknownChannel: number;
  beforeAnnounce: number;
  lostFrames: number;
  duplicateFrames: number;
  outOfOrder: number;
  restarts: number;
  impossibleSamples: number;
  impossibleValues: number;
  unreadableCells: number;
  discardedBytes: number;
  skippedBytes: number;
}

export function newFrameCounters(): FrameCounters {
  return {
    frames: 0,
    samples: 0,
    announcements: 0,
    badCrc: 0,
    tooLong: 0,
    notAscii: 0,
    malformed: 0,
    foreignLines: 0,
    unknownVersion: 0,
    unknownChannel: 0,
    beforeAnnounce: 0,
    lostFrames: 0,
    duplicateFrames: 0,
    outOfOrder: 0,
    restarts: 0,
    impossibleSamples: 0,
    impossibleValues: 0,
    unreadableCells: 0,
    discardedBytes: 0,
    skippedBytes: 0,
  };
}
