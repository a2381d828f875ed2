import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { InfluxDB } from 'influx';
import { expect, onTestFinished, test } from 'vitest';
import { pointsOf } from '../../../dashboard/server/projection/influx-points.ts';
import { STREAM, testBody, testChunk, testEvent, testPass } from '../../support/test-records.ts';

// influx-escape, grade A: InfluxDB documentation, "Line protocol, Special characters",
// docs.influxdata.com/influxdb/v2/reference/syntax/line-protocol/
test('what the client sends is the line protocol of its documentation', async () => {
  const lines: string[] = [];
  const server = createServer(async (request, response) => {
    let text = '';
    for await (const chunk of request) text += String(chunk);
    lines.push(...text.split('\n'));
    response.writeHead(204).end();
  });
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  const { port } = server.address() as AddressInfo;
  const client = new InfluxDB({ host: '127.0.0.1', port, database: 'x', pool: { maxRetries: 0 } });
  await client.writePoints([
    { measurement: 'myMeasurement', fields: { fieldKey: 'string value' } },
    { measurement: 'myMeasurement', fields: { fieldKey: '"string" within a string' } },
    {
      measurement: 'myMeasurement',
      tags: { 'tag Key1': 'tag Value1', 'tag Key2': 'tag Value2' },
      fields: { fieldKey: 100 },
    },
    {
      measurement: 'myMeasurement',
      tags: { tagKey: '🍭' },
      fields: { fieldKey: 'Launch 🚀' },
      timestamp: '1556813561098000000',
    },
  ]);
  expect(lines).toEqual([
    'myMeasurement fieldKey="string value"',
    'myMeasurement fieldKey="\\"string\\" within a string"',
    'myMeasurement,tag\\ Key1=tag\\ Value1,tag\\ Key2=tag\\ Value2 fieldKey=100',
    'myMeasurement,tagKey=🍭 fieldKey="Launch 🚀" 1556813561098000000',
  ]);
});

test('samples, passes and events become points; unknown is no field', () => {
  const chunk = testChunk(1_000_000, 3);
  chunk.columns.weldingCurrent![1] = Number.NaN;
  const body = testBody({ chunk, passes: [testPass(1)], events: [testEvent(1)] });
  const points = pointsOf(body, { stream: STREAM, digits: 25 });
  // The client leaves blanks in a measurement's name as they are: ours are three fixed words.
  expect(new Set(points.map(point => point.measurement))).toEqual(new Set(['samples', 'passes', 'events']));
  const samples = points.filter(point => point.measurement === 'samples');
  expect(samples).toHaveLength(3);
  expect(samples[0]).toMatchObject({
    tags: { site: body.site, rig: body.rig, source: body.origin },
    timestamp: '1000000025',
  });
  expect(samples.map(point => Object.keys(point.fields!))).toEqual([
    ['stream', 'record_us', 'welding_current_a', 'arc_voltage_v'],
    ['stream', 'record_us', 'arc_voltage_v'],
    ['stream', 'record_us', 'welding_current_a', 'arc_voltage_v'],
  ]);
  expect(samples.map(point => point.fields!['record_us'])).toEqual([...chunk.tUs]);
  expect(pointsOf(body, null).map(point => point.measurement)).toEqual(['passes', 'events']);
  const [pass] = points.filter(point => point.measurement === 'passes');
  expect(pass!.fields).toMatchObject({ pass_id: testPass(1).passId, joint: testPass(1).joint });
  expect(Object.keys(pass!.tags!)).not.toContain('joint');
  expect(points.filter(point => point.measurement === 'events')).toHaveLength(1);
});

test('two events of one kind at once are two points', () => {
  const events = [testEvent(1), { ...testEvent(1), id: 'another' }];
  const points = pointsOf(testBody({ events }), null);
  expect(new Set(points.map(({ timestamp }) => timestamp)).size).toBe(2);
});
