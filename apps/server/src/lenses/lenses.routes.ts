import { z } from 'zod';
import {
  askLensCalibrationBody,
  idSchema,
  lensCalibrationAnswer,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

export const listLensCalibrations = route({
  method: 'GET',
  path: '/v1/lens-calibrations',
  tag: 'lenses',
  summary: 'Lenses found from photographs of the target sheet, newest first, at most 500',
  access: 'signed-in',
  answer: z.object({ items: z.array(lensCalibrationAnswer), next: z.null() }),
});

export const askLensCalibration = route({
  method: 'POST',
  path: '/v1/lens-calibrations',
  tag: 'lenses',
  summary: 'Find what a camera’s lens bends from a photograph of the target sheet; follow the job',
  access: 'recorder',
  body: askLensCalibrationBody,
  answer: z.object({ calibrationId: idSchema, jobId: idSchema, ...writtenShape }),
  status: 202,
  problems: ['media-unknown', 'camera-unknown', 'idempotency-key-reused'],
});

export const targetSheet = route({
  method: 'GET',
  path: '/v1/target-sheets/{paper}.pdf',
  tag: 'lenses',
  summary: 'The target sheet to print at 100 %, which gives a picture its scale without taps',
  access: 'signed-in',
  params: z.object({ paper: z.enum(['A4', 'A3', 'Letter']) }),
  answerTypes: ['application/pdf'],
});
