/** Every route answers in the shape its table says. */
import { describe, expect, it } from 'vitest';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, filled } from '../support/http-answers.ts';
import { AS_PROGRAM } from '../support/program-token.ts';
import { START_MS, STREAM, seal, testBody, testPass } from '../support/test-records.ts';

const startUs = START_MS * 1000;

describe('answers', () => {
  it('of every reading route fit their schemas', async () => {
    const { get } = await filled();
    const passId = `${STREAM}:1`;
    const paths: Record<keyof typeof ROUTES, string | null> = {
      rigs: '/api/v1/rigs',
      samples: '/api/v1/rigs/spread-1/rig-a/samples',
      passes: '/api/v1/passes?limit=5',
      pass: `/api/v1/passes/${passId}`,
      passSamples: `/api/v1/passes/${passId}/samples?points=10`,
      joints: '/api/v1/joints',
      joint: '/api/v1/joints/J-0001',
      jointRing: '/api/v1/joints/J-0001/ring',
      deviations: '/api/v1/deviations?joint=J-0001',
      events: '/api/v1/events?site=spread-1&rig=rig-a',
      procedures: '/api/v1/procedures',
      assignments: '/api/v1/assignments',
      people: '/api/v1/people',
      system: '/api/v1/system',
      entries: '/api/v1/entries?subject=joint%20J-0001',
      jointState: '/api/v1/joints/J-0001/state',
      jointList: '/api/v1/joint-list?find=j-0',
      readiness: '/api/v1/readiness',
      rigReadiness: '/api/v1/rigs/spread-1/rig-a/readiness',
      proposal: '/api/v1/proposals/spread-1/rig-a',
      edgeRun: '/api/v1/edge-run/spread-1/rig-a?channel=travelSpeed',
      passJournal: `/api/v1/passes/${passId}/journal`,
      unassignedPasses: '/api/v1/unassigned-passes',
      procedureStates: '/api/v1/procedure-states',
      procedure: '/api/v1/procedures/example-610/1',
      procedureJoints: '/api/v1/procedures/example-610/1/joints',
      shift: '/api/v1/shift?date=2026-05-12',
      shiftCsv: null,
      dispositions: '/api/v1/joints/J-0001/dispositions',
      keys: '/api/v1/keys',
      jointRecord: '/api/v1/joints/J-0001/record',
      jointVerification: '/api/v1/joints/J-0001/verification',
      verification: '/api/v1/verification',
      addDisposition: null,
      setPassphrase: null,
      seals: '/api/v1/seals?rig=rig-a',
      // Needs a sealed stream: http-seals.test.ts.
      passSeal: null,
      jointSeals: '/api/v1/joints/J-0001/seals',
      sealKeys: '/api/v1/rigs/spread-1/rig-a/seal-keys',
      acceptSealKey: null,
      watch: '/api/v1/watch',
      jointReview: '/api/v1/joints/J-0001/review',
      readIndications: null,
      jointExportJson: '/api/v1/joints/J-0001/export.json',
      exports: '/api/v1/exports',
      passSamplesJson: `/api/v1/passes/${passId}/samples.json`,
      // Files and jobs: http-exports.test.ts.
      jointExport: null,
      jointReport: null,
      jointPassesCsv: null,
      jointWindowsCsv: null,
      jointDeviationsCsv: null,
      jointEventsCsv: null,
      passSamplesCsv: null,
      passReplayMap: null,
      dayExport: null,
      dayPassesCsv: null,
      addExport: null,
      export: null,
      exportFile: null,
      cancelExport: null,
      training: '/api/v1/training',
      // Of a dashboard that is set up for it: http-training.test.ts.
      trainingSessions: null,
      addTrainingSession: null,
      trainingSession: null,
      startTraining: null,
      freezeTraining: null,
      resumeTraining: null,
      setTrainingSpeed: null,
      injectTraining: null,
      endTraining: null,
      addTrainingNote: null,
      addTrainingMark: null,
      rateTraining: null,
      trainingDebrief: null,
      writeTrainingDebrief: null,
      trainingDebriefPdf: null,
      trainingExport: null,
      deleteTrainingSession: null,
      calls: '/api/v1/calls',
      passTypes: '/api/v1/pass-types',
      overJoints: '/api/v1/over-joints?procedureId=example-610&pass=fill%201&origin=simulated',
      watchTrial: null,
      alarms: '/api/v1/alarms',
      alarmHistory: '/api/v1/alarms/history?site=spread-1&rig=rig-a&limit=5',
      acknowledgeAlarms: null,
      resetAlarms: null,
      shelveAlarm: null,
      unshelveAlarm: null,
      alarmService: null,
      addProcedure: null,
      addAssignment: null,
      addPerson: null,
      addEntry: null,
      readPassTable: null,
      passTableCsv: null,
      procedureFile: null,
      session: '/api/v1/session',
      // Of people and administrators: http-accounts.test.ts.
      signIn: null,
      signInByLink: null,
      firstPassphrase: null,
      stillHere: null,
      signOut: null,
      setUp: null,
      ownSessions: null,
      endOwnSession: null,
      endOtherSessions: null,
      ownPassphrase: null,
      accounts: null,
      openAccount: null,
      giveCode: null,
      giveLink: null,
      changeRoles: null,
      withdrawAccount: null,
      endSession: null,
      audit: null,
      machines: '/api/v1/machines',
      // http-machines.test.ts.
      enrol: null,
      makeMachineCode: null,
      revokeMachine: null,
    };
    for (const [key, path] of Object.entries(paths)) {
      if (path !== null) await answer(ROUTES[key as keyof typeof ROUTES], await get(path, AS_PROGRAM));
    }
  });

  it('of samples keep every extreme and mark what was not recorded', async () => {
    const { get } = await filled();
    const path = `/api/v1/rigs/spread-1/rig-a/samples?from=${startUs - 2e6}&to=${startUs + 10e6}&points=12`;
    const samples = await answer(ROUTES.samples, await get(`${path}&channels=weldingCurrent`));
    expect(samples.series).toHaveLength(1);
    const [current] = samples.series;
    expect(current).toMatchObject({ channel: 'weldingCurrent', unit: 'A' });
    expect(Math.min(...current!.min)).toBe(200);
    expect(Math.max(...current!.max)).toBe(206);
    expect(current!.tUs[0]).toBe(startUs);
    expect(samples.gaps).toEqual([{ fromUs: startUs - 2e6, toUs: startUs }]);
    expect(samples).toMatchObject({ stream: STREAM, utcMinusRecordMs: 0 });
    const from = new Date(START_MS - 2000).toISOString();
    const to = new Date(START_MS + 10_000).toISOString();
    const inUtc = await get(
      `/api/v1/rigs/spread-1/rig-a/samples?from=${from}&to=${to}&points=12&channels=weldingCurrent`,
    );
    expect(await answer(ROUTES.samples, inUtc)).toEqual(samples);
  });

  it('of the ring say where each side of each layer has weld, in the order of the procedure', async () => {
    const { get } = await filled();
    expect(await answer(ROUTES.jointRing, await get('/api/v1/joints/J-0001/ring'))).toEqual({
      joint: 'J-0001',
      procedureId: 'example-610',
      procedureRevision: 1,
      outsideDiameterMm: 610,
      layers: [
        { pass: 'root', sides: [] },
        {
          pass: 'fill 1',
          sides: [
            {
              side: 'A',
              spans: [{ fromMm: 0, toMm: 375 }],
              outOfRange: [{ fromMm: 100, toMm: 130, quantity: 'weldingCurrent' }],
              uncertaintyMm: 5,
            },
          ],
        },
      ],
    });
  });

  it('say of one joint number which origin they show, and never mix two', async () => {
    const { get, receive, settle } = await filled();
    const realPass = testPass(1, { origin: 'real', rig: 'rig-b', passId: 'real:1' });
    const body = testBody({ origin: 'real', rig: 'rig-b', passes: [realPass] });
    receive('girthlog/1/spread-1/rig-b/record', seal(JSON.stringify(body), 1, undefined, undefined, 'real'));
    await settle();
    const list = await answer(ROUTES.joints, await get('/api/v1/joints'));
    expect(list).toMatchObject({
      origin: 'real',
      origins: ['real', 'simulated'],
      joints: [{ origin: 'real', passes: 1 }],
    });
    const practice = await answer(ROUTES.joint, await get('/api/v1/joints/J-0001?origin=simulated'));
    expect(practice.passes.map(pass => pass.origin)).toEqual(['simulated']);
    const passes = await answer(ROUTES.passes, await get('/api/v1/passes?joint=J-0001'));
    expect(passes.passes.map(pass => pass.passId)).toEqual(['real:1']);
  });
});
