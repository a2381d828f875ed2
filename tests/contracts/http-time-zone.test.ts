/** The zone of the job over HTTP. America/Mexico_City is UTC −6 all year since October 2022 (IANA time zone database). */
import { expect, it } from 'vitest';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { SHIFT_ROUTES } from '../../dashboard/server/shift/shift-routes.ts';
import { answer } from '../support/http-answers.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';

it('is said, and a shift is from 06:00 to 06:00 by its clocks', async () => {
  const dashboard = await startTestDashboard({ zone: 'America/Mexico_City' });
  const system = await answer(ROUTES.system, await dashboard.get('/api/v1/system'));
  expect(system.timeZone).toBe('America/Mexico_City');
  const shift = await answer(
    SHIFT_ROUTES.shift,
    await dashboard.get('/api/v1/shift?date=2026-05-12&origin=simulated'),
  );
  expect(shift).toMatchObject({
    zone: 'America/Mexico_City',
    fromUtc: '2026-05-12T12:00:00.000Z',
    toUtc: '2026-05-13T12:00:00.000Z',
  });
});
