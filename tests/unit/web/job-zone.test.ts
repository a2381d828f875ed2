import { afterEach, expect, it } from 'vitest';
import { JobZone } from '../../../dashboard/web/data/job-zone.ts';
import { localDateTime, typedMoment, wallMoment } from '../../../dashboard/web/parts/local-date-time.ts';
import { format, manner } from '../../../dashboard/web/text/text.ts';
import { proposedShiftDate } from '../../../dashboard/web/views/verify/check-entry.ts';

const before = manner.value;
afterEach(() => {
  manner.value = before;
});

function storage(): Pick<Storage, 'getItem' | 'setItem'> & { readonly kept: Map<string, string> } {
  const kept = new Map<string, string>();
  return { kept, getItem: key => kept.get(key) ?? null, setItem: (key, value) => void kept.set(key, value) };
}
const says = (timeZone: string) => async () => ({ timeZone });

it('shows the clocks of the job, and says once that the device has others', async () => {
  const store = storage();
  const zone = new JobZone(says('America/Mexico_City'), store, 'America/New_York');
  expect(manner.value.zone).toBeUndefined();
  await zone.refresh();
  expect(format().zone).toBe('America/Mexico_City');
  expect(zone.differs.value).toBe('America/New_York');
  zone.understood();
  expect(zone.differs.value).toBeNull();
  await zone.refresh();
  expect(zone.differs.value).toBeNull();
  // The next page knows it before anybody answers; another job is said again.
  manner.value = before;
  const next = new JobZone(says('Asia/Kathmandu'), store, 'America/New_York');
  expect(format().zone).toBe('America/Mexico_City');
  await next.refresh();
  expect([format().zone, next.differs.value]).toEqual(['Asia/Kathmandu', 'America/New_York']);
});

it('keeps what was last said while nobody answers, and says nothing where the clocks are the same', async () => {
  const store = storage();
  await new JobZone(says('UTC'), store, 'Etc/UTC').refresh();
  const zone = new JobZone(() => Promise.reject(new Error('away')), store, 'Etc/UTC');
  await zone.refresh();
  expect([format().zone, zone.differs.value]).toEqual(['UTC', null]);
  expect(new JobZone(says('UTC'), { ...store, getItem: () => 'Mars/Base' }, 'UTC').differs.value).toBeNull();
});

// America/Mexico_City: UTC −6 all year since October 2022 (IANA time zone database).
it('reads and writes times typed by the clocks of the job', () => {
  manner.value = { ...before, zone: 'America/Mexico_City' };
  const at = Date.UTC(2026, 4, 12, 11, 30);
  expect(localDateTime(at)).toBe('2026-05-12T05:30');
  expect(wallMoment('2026-05-12T05:30')).toBe(at);
  expect(wallMoment('2026-05-12T05:30:15')).toBe(at + 15_000);
  expect(['2026-02-30T05:30', '2026-05-12', '', 'x'].map(wallMoment)).toEqual([null, null, null, null]);
  expect(typedMoment('2026-05-12T05:32', at)).toBeNull();
  // Before 06:00 there: still the shift of the day before.
  expect(proposedShiftDate(new Date(at))).toBe('2026-05-11');
});
