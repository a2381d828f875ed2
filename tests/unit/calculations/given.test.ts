import { expect, test } from 'vitest';
import { givenFromJson, givenFromWords, parseGiven } from '#core/calculations/given';

const plain = (value: number, unit: string | null) => ({ kind: 'number', value, unit, uncertainty: null });

test.each([
  ['7.5 mm/s', plain(7.5, 'mm/s')],
  ['7.5mm/s', plain(7.5, 'mm/s')],
  ['24', plain(24, null)],
  ['-40 °F', plain(-40, '°F')],
  ['−40 °F', plain(-40, '°F')],
  ['1e3 mm', plain(1000, 'mm')],
  ['.5 kJ/mm', plain(0.5, 'kJ/mm')],
  ['5 ml/100 g', plain(5, 'ml/100 g')],
  ['24 V ± 1 %', { ...plain(24, 'V'), uncertainty: { value: 1, unit: '%', kind: 'limits' } }],
  ['24 V +- 0.24', { ...plain(24, 'V'), uncertainty: { value: 0.24, unit: null, kind: 'limits' } }],
  ['24 V ±0.24 V standard', { ...plain(24, 'V'), uncertainty: { value: 0.24, unit: 'V', kind: 'standard' } }],
  ['24 ± 1', { ...plain(24, null), uncertainty: { value: 1, unit: null, kind: 'limits' } }],
  ['pipe', { kind: 'text', text: 'pipe' }],
  ['NaN', { kind: 'text', text: 'NaN' }],
])('"%s"', (text, expected) => {
  expect(parseGiven(text)).toEqual(expected);
});

test('words as a shell hands them over', () => {
  const set = givenFromWords(['voltage=24', 'V', '±', '1', '%', 'current=236A', 'side', '=', 'A']);
  if (set.kind !== 'given') throw new Error(set.problems.join());
  expect([...set.given.keys()]).toEqual(['voltage', 'current', 'side']);
  expect(set.given.get('current')).toEqual(plain(236, 'A'));
  expect(set.given.get('side')).toEqual({ kind: 'text', text: 'A' });
});

test.each([
  [['24', 'V'], ['"24 V" is not key=value unit']],
  [['voltage=24 V', 'voltage=25 V'], ['voltage is given twice']],
  [['voltage='], ['voltage has no value']],
])('bad words %j', (words, problems) => {
  expect(givenFromWords(words)).toEqual({ kind: 'invalid', problems });
});

test('JSON: numbers, texts and objects', () => {
  const set = givenFromJson(
    '{"a": 1, "b": "2 mm", "c": {"value": 3, "unit": "A", "uncertainty": 1, "uncertaintyUnit": "%", "uncertaintyKind": "standard"}, "d": {"value": 4}}',
  );
  if (set.kind !== 'given') throw new Error(set.problems.join());
  expect(Object.fromEntries(set.given)).toEqual({
    a: plain(1, null),
    b: plain(2, 'mm'),
    c: { ...plain(3, 'A'), uncertainty: { value: 1, unit: '%', kind: 'standard' } },
    d: plain(4, null),
  });
});

test.each([
  ['{', ['the JSON cannot be read']],
  ['[1]', ['the JSON must be an object of inputs']],
  ['7', ['the JSON must be an object of inputs']],
])('bad JSON %s', (text, problems) => {
  expect(givenFromJson(text)).toEqual({ kind: 'invalid', problems });
});

test('a JSON input of the wrong form names it', () => {
  for (const text of ['{"a": null}', '{"a": {"value": 1, "units": "mm"}}', '{"a": [1]}']) {
    expect(givenFromJson(text)).toMatchObject({
      kind: 'invalid',
      problems: [expect.stringMatching(/^a must be a number, a text such as/)],
    });
  }
});
