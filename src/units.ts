/**
 * Units as types. A quantity is a number that carries its unit in the type, so that a depth
 * cannot be handed to a function that wants a plan length.
 *
 * Plan coordinates and lengths are metres; heights, levels and depths are millimetres;
 * 1 mm over 1 m² is 1 L, which is why volumes are litres.
 */
declare const unit: unique symbol;
export type Quantity<U extends string> = number & { readonly [unit]?: U };

export type Metres = Quantity<"m">;
export type Millimetres = Quantity<"mm">;
export type SquareMetres = Quantity<"m2">;
export type Litres = Quantity<"L">;
export type Kilograms = Quantity<"kg">;
export type KilogramsPerLitre = Quantity<"kg/L">;
export type KilogramsPerSquareMetre = Quantity<"kg/m2">;
export type SquareMetresPerLitre = Quantity<"m2/L">;
export type Minutes = Quantity<"min">;
export type MetresPerMinute = Quantity<"m/min">;
export type LitresPerMinute = Quantity<"L/min">;
export type Kilowatts = Quantity<"kW">;
export type Celsius = Quantity<"degC">;
export type Megapascals = Quantity<"MPa">;
/** Vapour given off in 24 hours. */
export type GramsPerSquareMetreAndDay = Quantity<"g/m2/d">;
/** A fall or slope: millimetres of height in a metre of plan. */
export type MillimetresPerMetre = Quantity<"mm/m">;
/** A share of one, 0 to 1. Printed as per cent. */
export type Share = Quantity<"1">;

export const metres = (value: number): Metres => value as Metres;
export const millimetres = (value: number): Millimetres => value as Millimetres;
export const squareMetres = (value: number): SquareMetres => value as SquareMetres;
export const litres = (value: number): Litres => value as Litres;
export const kilograms = (value: number): Kilograms => value as Kilograms;
export const minutes = (value: number): Minutes => value as Minutes;
export const celsius = (value: number): Celsius => value as Celsius;
export const share = (value: number): Share => value as Share;

/** Exact by definition: the international yard and pound agreement of 1959; 1 US gallon = 231 in³. */
export const MM_PER_INCH = 25.4;
export const M_PER_FOOT = 0.3048;
export const M2_PER_SQUARE_FOOT = 0.09290304;
export const L_PER_CUBIC_FOOT = 28.316846592;
export const L_PER_US_GALLON = 3.785411784;
export const L_PER_US_QUART = L_PER_US_GALLON / 4;
export const KG_PER_POUND = 0.45359237;
/** lb/ft³ to kg/L. */
export const KG_PER_L_PER_POUND_PER_CUBIC_FOOT = KG_PER_POUND / L_PER_CUBIC_FOOT;
/** lb/ft² to kg/m². */
export const KG_PER_M2_PER_PSF = KG_PER_POUND / M2_PER_SQUARE_FOOT;
/** lb/in² to MPa: a pound-force under standard gravity, 9.80665 m/s², on a square inch. */
export const MPA_PER_PSI = (KG_PER_POUND * 9.80665) / MM_PER_INCH ** 2;
/** lb/(1000 ft²) to g/m², as vapour emission is stated for 24 hours. */
export const G_PER_M2_PER_POUND_PER_1000_SQUARE_FEET = KG_PER_POUND / M2_PER_SQUARE_FOOT;
/** ft²/US gal to m²/L. */
export const M2_PER_L_PER_SQUARE_FOOT_PER_GALLON = M2_PER_SQUARE_FOOT / L_PER_US_GALLON;
