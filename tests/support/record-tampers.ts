/** What someone does to the records of a store's file, and how the first that does not fit is named. */
import { chainAnew, edgeKey, type SealedStore, sealedDay } from './sealed-store.ts';
import { STREAM, sha256 } from './test-records.ts';

const OF_RIG = 'of spread-1/rig-a (stream 01234567)';

/** A body with the last sample's bytes changed, as text. */
function otherSample(body: string): string {
  const parsed = JSON.parse(body) as { samples: { data: string } };
  const bytes = Buffer.from(parsed.samples.data, 'base64');
  bytes[bytes.length - 3] = bytes[bytes.length - 3]! ^ 1;
  return JSON.stringify({ ...parsed, samples: { ...parsed.samples, data: bytes.toString('base64') } });
}

export type Tamper = (store: SealedStore) => void;

/** What is done, and what is named. */
export const RECORD_TAMPERS: readonly [
  what: string,
  tamper: Tamper,
  seq: number | null,
  text: string | RegExp,
][] = [
  [
    'one sample is changed',
    ({ withFile }) =>
      withFile(db => {
        const body = db.prepare('SELECT body FROM records WHERE seq = 4').pluck().get() as string;
        db.prepare('UPDATE records SET body = ? WHERE seq = 4').run(otherSample(body));
      }),
    4,
    `Record 4 ${OF_RIG} does not carry the hash of its content: something in it was changed.`,
  ],
  [
    'one sample is changed where screens read it',
    ({ tamper }) => tamper('UPDATE chunks SET data = zeroblob(length(data)) WHERE seq = 7'),
    7,
    `Record 7 ${OF_RIG}: the samples shown are not those recorded.`,
  ],
  [
    'one sample is changed and every hash is made anew',
    ({ withFile }) =>
      withFile(db => {
        const body = db.prepare('SELECT body FROM records WHERE seq = 4').pluck().get() as string;
        const other = otherSample(body);
        db.prepare('UPDATE records SET body = ? WHERE seq = 4').run(other);
        const { data } = (JSON.parse(other) as { samples: { data: string } }).samples;
        db.prepare('UPDATE chunks SET data = ? WHERE seq = 4').run(Buffer.from(data, 'base64'));
        chainAnew(db, 4);
      }),
    6,
    `Seal 2, of pass ${STREAM}:1, ${OF_RIG}: the root of batches 3 to 5 is another one.`,
  ],
  [
    'a pass is dropped',
    ({ tamper }) => tamper('DELETE FROM passes WHERE pass_id = ?', `${STREAM}:2`),
    9,
    `Record 9 ${OF_RIG}: pass ${STREAM}:2 is recorded, and is not shown.`,
  ],
  [
    'a pass is shown better than it was',
    ({ tamper }) =>
      tamper('UPDATE passes SET message = replace(message, \'"meanCurrentA":236\', \'"meanCurrentA":230\')'),
    5,
    `Record 5 ${OF_RIG}: pass ${STREAM}:1 is not shown as it is recorded.`,
  ],
  [
    'a pass is put under another joint',
    ({ tamper }) => tamper("UPDATE passes SET joint = 'J-0002' WHERE pass_id = ?", `${STREAM}:2`),
    9,
    `Record 9 ${OF_RIG}: pass ${STREAM}:2 is not shown as it is recorded.`,
  ],
  [
    'a pass is invented',
    ({ tamper }) =>
      tamper(
        `INSERT INTO passes SELECT 'x:9', stream_id, seq, origin, site, rig, joint, start_utc, end_utc, deviations, message FROM passes LIMIT 1`,
      ),
    null,
    `Pass x:9 ${OF_RIG} is shown, and no record holds it.`,
  ],
  [
    'a deviation is dropped',
    ({ tamper }) => tamper('DELETE FROM deviations'),
    5,
    `Record 5 ${OF_RIG}: the deviations of pass ${STREAM}:1 are not shown as they are recorded.`,
  ],
  [
    'an event is dropped',
    ({ tamper }) => tamper('DELETE FROM events WHERE event_id = ?', `${STREAM}:2`),
    4,
    `Record 4 ${OF_RIG}: event ${STREAM}:2 is recorded, and is not shown.`,
  ],
  [
    'an event is changed',
    ({ tamper }) => tamper("UPDATE events SET message = replace(message, 'Arc started.', 'Arc ended.')"),
    3,
    `Record 3 ${OF_RIG}: event ${STREAM}:1 is not shown as it is recorded.`,
  ],
  [
    'a record is deleted',
    ({ tamper }) => tamper('DELETE FROM records WHERE seq = 7'),
    7,
    `Record 7 ${OF_RIG} is missing: 8 is here.`,
  ],
  [
    'the first record is deleted',
    ({ tamper }) => tamper('DELETE FROM records WHERE seq = 1'),
    1,
    `Record 1 ${OF_RIG} is missing: 2 is here.`,
  ],
  [
    'a record is deleted and the hole is closed',
    ({ withFile }) =>
      withFile(db => {
        db.exec('DELETE FROM records WHERE seq = 7; UPDATE records SET seq = -seq WHERE seq > 7');
        db.exec('UPDATE records SET seq = -seq - 1 WHERE seq < 0');
      }),
    7,
    `Record 7 ${OF_RIG} does not carry the hash of its content: something in it was changed.`,
  ],
  [
    'a record is put in',
    ({ withFile }) =>
      withFile(db => {
        db.exec(
          'UPDATE records SET seq = -seq WHERE seq >= 8; UPDATE records SET seq = -seq + 1 WHERE seq < 0',
        );
        db.exec(`INSERT INTO records (stream_id, seq, prev, hash_bytes, origin, received_ms, body)
          SELECT stream_id, 8, prev, hash_bytes, origin, received_ms, body FROM records WHERE seq = 3`);
      }),
    8,
    `Record 8 ${OF_RIG} does not carry the hash of its content: something in it was changed.`,
  ],
  [
    'a record is put in, and every hash is made anew',
    ({ withFile }) =>
      withFile(db => {
        for (const table of ['records', 'chunks', 'passes']) {
          db.exec(
            `UPDATE ${table} SET seq = -seq WHERE seq >= 8; UPDATE ${table} SET seq = -seq + 1 WHERE seq < 0`,
          );
        }
        db.exec(`INSERT INTO records (stream_id, seq, prev, hash_bytes, origin, received_ms, body)
          SELECT stream_id, 8, prev, hash_bytes, origin, received_ms, body FROM records WHERE seq = 7`);
        db.exec(`INSERT INTO chunks (stream_id, seq, first_us, last_us, first_utc_ms, last_utc_ms, utc_minus_record_ms, n, gaps, extremes, data)
          SELECT stream_id, 8, first_us, last_us, first_utc_ms, last_utc_ms, utc_minus_record_ms, n, gaps, extremes, data FROM chunks WHERE seq = 7`);
        chainAnew(db, 8);
      }),
    11,
    `Seal 4, of pass ${STREAM}:2, ${OF_RIG}: the root of batches 7 to 9 is another one.`,
  ],
  [
    'two records change places',
    ({ withFile }) =>
      withFile(db => {
        db.exec(
          'UPDATE records SET seq = 100 WHERE seq = 7; UPDATE records SET seq = 7 WHERE seq = 8; UPDATE records SET seq = 8 WHERE seq = 100',
        );
      }),
    7,
    `Record 7 ${OF_RIG} does not carry the hash of its content: something in it was changed.`,
  ],
  [
    'the contents of two records change places',
    ({ withFile }) =>
      withFile(db => {
        const [a, b] = [7, 8].map(seq =>
          db.prepare('SELECT body FROM records WHERE seq = ?').pluck().get(seq),
        );
        db.prepare('UPDATE records SET body = ? WHERE seq = 7').run(b);
        db.prepare('UPDATE records SET body = ? WHERE seq = 8').run(a);
      }),
    7,
    `Record 7 ${OF_RIG} does not carry the hash of its content: something in it was changed.`,
  ],
  [
    'a record is exchanged for one that carries its own hash',
    ({ withFile }) =>
      withFile(db => {
        const body = db.prepare('SELECT body FROM records WHERE seq = 8').pluck().get() as string;
        const { prev } = db.prepare('SELECT prev FROM records WHERE seq = 7').get() as { prev: string };
        const hash = sha256(`girthlog.record/1\n${prev}\n${STREAM}\n7\n${body}`);
        db.prepare('UPDATE records SET body = ?, hash_bytes = unhex(?) WHERE seq = 7').run(body, hash);
        db.prepare('UPDATE chunks SET data = (SELECT data FROM chunks WHERE seq = 8) WHERE seq = 7').run();
      }),
    8,
    `Record 8 ${OF_RIG} does not follow the one before it: one of the two is not what was recorded.`,
  ],
  [
    'the tail is cut off below what was acknowledged',
    ({ tamper }) => tamper('DELETE FROM records WHERE seq > 10'),
    11,
    `Record 11 ${OF_RIG} is missing: the store has acknowledged everything to 12.`,
  ],
  [
    'the tail is cut off, and what was acknowledged too',
    ({ withFile }) =>
      withFile(db => {
        for (const table of ['records', 'chunks', 'passes']) db.exec(`DELETE FROM ${table} WHERE seq > 10`);
        db.exec('UPDATE streams SET upto = 10, head = (SELECT hash FROM records WHERE seq = 10)');
      }),
    11,
    `Record 11 ${OF_RIG} is missing: a seal that came in record 12 is here.`,
  ],
  [
    'everything is made and sealed anew by another key',
    ({ withFile }) =>
      withFile(db => {
        const update = db.prepare(
          'UPDATE records SET prev = ?, hash_bytes = unhex(?), body = ? WHERE seq = ?',
        );
        for (const { seq, prev, hash, body } of sealedDay(edgeKey())) {
          update.run(prev, hash, body, seq);
          const { seals = [] } = JSON.parse(body) as { seals?: unknown[] };
          for (const [place, one] of seals.entries()) {
            db.prepare('UPDATE seals SET document = ? WHERE seq = ? AND place = ?').run(
              JSON.stringify(one),
              seq,
              place,
            );
          }
        }
        db.exec('UPDATE streams SET head = (SELECT hash FROM records WHERE seq = 12)');
      }),
    2,
    /^Seal 1 of spread-1\/rig-a .*: it is signed by key [0-9a-f ]{19}, which is not that of spread-1\/rig-a\.$/,
  ],
  [
    'a seal kept as a witness is changed',
    ({ tamper }) => tamper("UPDATE seals SET document = replace(document, 'test', 'best') WHERE seq = 10"),
    10,
    `Seal 4, of pass ${STREAM}:2, ${OF_RIG} is not the one this store keeps as its witness.`,
  ],
  [
    'the last record is exchanged',
    ({ withFile }) =>
      withFile(db => {
        const { head } = db.prepare('SELECT head FROM streams').get() as { head: string };
        db.exec("UPDATE records SET body = replace(body, '20', '20 ') WHERE seq = 12");
        chainAnew(db, 12);
        db.prepare('UPDATE streams SET head = ?').run(head);
      }),
    12,
    `Record 12 ${OF_RIG} is not the one that was acknowledged to the edge.`,
  ],
  [
    'the seal of another pass is played again, and every hash is made anew',
    ({ withFile }) =>
      withFile(db => {
        const seals = (seq: number) =>
          (
            JSON.parse(db.prepare('SELECT body FROM records WHERE seq = ?').pluck().get(seq) as string) as {
              seals: unknown[];
            }
          ).seals;
        const body = JSON.parse(
          db.prepare('SELECT body FROM records WHERE seq = 10').pluck().get() as string,
        ) as object;
        db.prepare('UPDATE records SET body = ? WHERE seq = 10').run(
          JSON.stringify({ ...body, seals: [seals(6)[0]] }),
        );
        chainAnew(db, 10);
      }),
    10,
    `Seal 2, of pass ${STREAM}:1, ${OF_RIG}: seal 2 stands where seal 4 should.`,
  ],
  [
    'a seal is left out, and every hash is made anew',
    ({ withFile }) =>
      withFile(db => {
        const body = JSON.parse(
          db.prepare('SELECT body FROM records WHERE seq = 10').pluck().get() as string,
        ) as object;
        db.prepare('UPDATE records SET body = ? WHERE seq = 10').run(JSON.stringify({ ...body, seals: [] }));
        chainAnew(db, 10);
      }),
    12,
    `Seal 5 ${OF_RIG}: seal 5 stands where seal 4 should.`,
  ],
  [
    'what a seal says is changed, and every hash is made anew',
    ({ withFile }) =>
      withFile(db => {
        db.exec(
          `UPDATE records SET body = replace(body, '"gapsLeftOut":0', '"gapsLeftOut":1') WHERE seq = 6`,
        );
        chainAnew(db, 6);
      }),
    6,
    `A seal in record 6 ${OF_RIG}: the signature does not fit the document.`,
  ],
];
