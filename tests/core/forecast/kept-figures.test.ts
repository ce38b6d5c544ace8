import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { FORECAST_MODEL_VERSION, forecastCovers } from '../../../api/core/forecast/index.ts';
import { roomFigures, type RoomFigures } from './room-figures.ts';

// Figures of model covers-2 as it stood before learning was made quicker, kept so that making it
// quicker changes none of them. A model that is meant to say otherwise takes another version.
const kept = JSON.parse(
  readFileSync(
    path.join(import.meta.dirname, '..', '..', 'fixtures', 'forecast', 'covers-2-rooms.json'),
    'utf8',
  ),
) as readonly RoomFigures[];

describe('the figures of a model version', () => {
  const now = roomFigures(forecastCovers);
  const close = (found: readonly number[], wanted: readonly number[]): void => {
    expect(found).toHaveLength(wanted.length);
    found.forEach((value, i) => {
      const due = wanted[i] ?? Number.NaN;
      expect(Math.abs(value - due)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(due)));
    });
  };

  it('are those it had when it got its number, on four simulated rooms', () => {
    expect(FORECAST_MODEL_VERSION).toBe('covers-2');
    expect(now).toHaveLength(kept.length);
    now.forEach((room, r) => {
      const before = kept[r];
      close(
        room.days.map((day) => day.mean),
        before?.days.map((day) => day.mean) ?? [],
      );
      close(
        room.days.map((day) => day.spreadCovers),
        before?.days.map((day) => day.spreadCovers) ?? [],
      );
      expect(room.days.map((day) => day.quantiles)).toEqual(
        before?.days.map((day) => day.quantiles),
      );
      expect(room.days.map((day) => day.firmCovers)).toEqual(
        before?.days.map((day) => day.firmCovers),
      );
      close(room.theta, before?.theta ?? []);
      close(room.memberErrors, before?.memberErrors ?? []);
    });
  });
});
