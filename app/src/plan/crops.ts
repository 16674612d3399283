/**
 * Names to choose from; any other can be written. White rust of brassicas comes first. Scientific
 * names from memory, in the use of the trade: nothing is worked out from them.
 */
export type Named = { readonly name: string; readonly scientificName: string };

const brassicas = [
  { name: 'White rust', scientificName: 'Albugo candida' },
  { name: 'Downy mildew', scientificName: 'Hyaloperonospora brassicae' },
  { name: 'Powdery mildew', scientificName: 'Erysiphe cruciferarum' },
  { name: 'Dark leaf spot', scientificName: 'Alternaria brassicae' },
  { name: 'Light leaf spot', scientificName: 'Pyrenopeziza brassicae' },
  { name: 'White leaf spot', scientificName: 'Neopseudocercosporella capsellae' },
  { name: 'Ring spot', scientificName: 'Mycosphaerella brassicicola' },
] as const;

const blights = [
  { name: 'Late blight', scientificName: 'Phytophthora infestans' },
  { name: 'Early blight', scientificName: 'Alternaria solani' },
] as const;

export type Crop = Named & { readonly diseases: readonly Named[] };

export const crops: readonly Crop[] = [
  { name: 'Mustard greens', scientificName: 'Brassica juncea', diseases: brassicas },
  { name: 'Pak choi', scientificName: 'Brassica rapa subsp. chinensis', diseases: brassicas },
  { name: 'Turnip', scientificName: 'Brassica rapa subsp. rapa', diseases: brassicas },
  { name: 'Kale', scientificName: 'Brassica oleracea', diseases: brassicas },
  { name: 'Cabbage', scientificName: 'Brassica oleracea var. capitata', diseases: brassicas },
  { name: 'Broccoli', scientificName: 'Brassica oleracea var. italica', diseases: brassicas },
  { name: 'Radish', scientificName: 'Raphanus sativus', diseases: brassicas },
  { name: 'Rocket', scientificName: 'Eruca vesicaria', diseases: brassicas },
  {
    name: 'Spinach',
    scientificName: 'Spinacia oleracea',
    diseases: [
      { name: 'White rust', scientificName: 'Albugo occidentalis' },
      { name: 'Downy mildew', scientificName: 'Peronospora effusa' },
    ],
  },
  {
    name: 'Chard',
    scientificName: 'Beta vulgaris',
    diseases: [{ name: 'Leaf spot', scientificName: 'Cercospora beticola' }],
  },
  {
    name: 'Lettuce',
    scientificName: 'Lactuca sativa',
    diseases: [{ name: 'Downy mildew', scientificName: 'Bremia lactucae' }],
  },
  {
    name: 'Leek',
    scientificName: 'Allium porrum',
    diseases: [
      { name: 'Rust', scientificName: 'Puccinia porri' },
      { name: 'Purple blotch', scientificName: 'Alternaria porri' },
    ],
  },
  {
    name: 'Bean',
    scientificName: 'Phaseolus vulgaris',
    diseases: [{ name: 'Rust', scientificName: 'Uromyces appendiculatus' }],
  },
  {
    name: 'Cucumber',
    scientificName: 'Cucumis sativus',
    diseases: [
      { name: 'Powdery mildew', scientificName: 'Podosphaera xanthii' },
      { name: 'Downy mildew', scientificName: 'Pseudoperonospora cubensis' },
    ],
  },
  { name: 'Tomato', scientificName: 'Solanum lycopersicum', diseases: blights },
  { name: 'Potato', scientificName: 'Solanum tuberosum', diseases: blights },
];

const sameName = (a: string, b: string): boolean =>
  a.trim().toLowerCase() === b.trim().toLowerCase();

/** The crop of that name, if it is one of the list. */
export const cropNamed = (name: string): Crop | undefined =>
  crops.find((crop) => sameName(crop.name, name));

/** Diseases to offer for a crop; those of all crops, white rust first, where it is none of the list. */
export function diseasesFor(crop: string): readonly Named[] {
  const known = cropNamed(crop);
  if (known !== undefined) return known.diseases;
  const all = crops.flatMap(({ diseases }) => diseases);
  return all.filter(({ name }, i) => all.findIndex((other) => other.name === name) === i);
}

/** The scientific name of a disease on a crop; undefined where it depends or is not in the list. */
export const diseaseNamed = (crop: string, name: string): Named | undefined =>
  cropNamed(crop)?.diseases.find((disease) => sameName(disease.name, name));
