package pdf

import (
	"encoding/binary"
	"unicode/utf16"
)

// Numbers of sRGB (IEC 61966-2-1:1999), in 65536ths as a profile has them. They are
// computed from the published chromaticities and curve by TestSRGB, and stand here
// because no processor may decide about a bit of them.
var (
	srgbWhite  = [3]int32{63190, 65536, 54061} // D50, the white of all profiles
	srgbColour = [3][3]int32{
		{28576, 14581, 912},  // red
		{25239, 46983, 6361}, // green
		{9375, 3972, 46787},  // blue
	}
	srgbAdapt = [9]int32{68674, 1502, -3291, 1939, 64912, -1119, -606, 988, 49262} // from D65 to D50, by Bradford
	srgbCurve = [5]int32{157286, 62119, 3417, 5072, 2651}                          // exponent 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045
)

// srgb returns an ICC profile of sRGB (ISO 15076-1:2005, profile version 4.2),
// made from published numbers: a file of somebody's own would need its licence.
func srgb() []byte {
	type tagged struct {
		name string
		data []byte
	}
	curve := fixedNumbers("para", srgbCurve[:])
	binary.BigEndian.PutUint16(curve[8:], 3) // of the kind with a straight part
	tags := []tagged{
		{"desc", localized("sRGB")}, {"cprt", localized("None: these numbers are published.")},
		{"wtpt", fixedNumbers("XYZ ", srgbWhite[:])}, {"chad", fixedNumbers("sf32", srgbAdapt[:])},
		{"rXYZ", fixedNumbers("XYZ ", srgbColour[0][:])}, {"gXYZ", fixedNumbers("XYZ ", srgbColour[1][:])}, {"bXYZ", fixedNumbers("XYZ ", srgbColour[2][:])},
		{"rTRC", curve}, {"gTRC", nil}, {"bTRC", nil}, // one for all three
	}
	const head = 128
	at := head + 4 + 12*len(tags)
	table := binary.BigEndian.AppendUint32(nil, uint32(len(tags)))
	var body []byte
	place, size := 0, 0
	for _, t := range tags {
		if t.data != nil {
			for len(body)%4 != 0 {
				body = append(body, 0)
			}
			place, size = at+len(body), len(t.data)
			body = append(body, t.data...)
		}
		table = append(table, t.name...)
		table = binary.BigEndian.AppendUint32(table, uint32(place))
		table = binary.BigEndian.AppendUint32(table, uint32(size))
	}
	for len(body)%4 != 0 {
		body = append(body, 0)
	}
	return append(append(srgbHead(head+len(table)+len(body)), table...), body...)
}

// srgbHead is the head of the profile (7.2).
func srgbHead(size int) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(size))
	b = append(b, 0, 0, 0, 0, 4, 0x20, 0, 0) // of no colour engine; version 4.2
	b = append(b, "mntrRGB XYZ "...)         // a display
	for _, part := range []uint16{1999, 10, 18, 0, 0, 0} {
		b = binary.BigEndian.AppendUint16(b, part) // the day of the standard
	}
	b = append(b, "acsp"...)
	b = append(b, make([]byte, 28)...) // of no system or maker; perceptual
	for _, n := range srgbWhite {
		b = binary.BigEndian.AppendUint32(b, uint32(n))
	}
	return append(b, make([]byte, 128-len(b))...)
}

// fixedNumbers are a list of numbers of a type (10).
func fixedNumbers(kind string, all []int32) []byte {
	b := append([]byte(kind), 0, 0, 0, 0)
	if kind == "para" {
		b = append(b, 0, 0, 0, 0)
	}
	for _, n := range all {
		b = binary.BigEndian.AppendUint32(b, uint32(n))
	}
	return b
}

// localized is a text in English (10.13).
func localized(text string) []byte {
	b := append([]byte("mluc"), 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 12)
	b = append(b, "enUS"...)
	units := utf16.Encode([]rune(text))
	b = binary.BigEndian.AppendUint32(b, uint32(2*len(units)))
	b = binary.BigEndian.AppendUint32(b, 28)
	for _, u := range units {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return b
}
