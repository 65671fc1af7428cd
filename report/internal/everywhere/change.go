package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io/fs"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing/fstest"

	"setline.example/schema"
	"setline.example/schema/length"
)

// changed gives a record with two more visits, on which not all is as it was,
// and the photographs that it names.
func changed(rng *rand.Rand, data []byte) ([]byte, fs.FS, error) {
	var rec schema.Record
	if err := json.Unmarshal(data, &rec); err != nil {
		return nil, nil, err
	}
	if rng.IntN(2) == 0 {
		rec.Planned.DecisionRule = "guarded"
	}
	rec.Planned.Project.Name = words(rng, 12)
	for i := range 2 {
		var visit schema.Visit
		again, err := json.Marshal(rec.Measured.Visits[i])
		if err != nil {
			return nil, nil, err
		}
		if err := json.Unmarshal(again, &visit); err != nil {
			return nil, nil, err
		}
		visit.Date = schema.Date(fmt.Sprintf("2026-09-%d", 20+3*i))
		for _, name := range slices.Sorted(maps.Keys(visit.Rooms)) {
			move(rng, visit.Rooms[name])
		}
		rec.Measured.Visits = append(rec.Measured.Visits, visit)
	}
	folder := photograph(rng, &rec)
	data, err := json.Marshal(&rec)
	return data, folder, err
}

// move tilts what stands in a room, and has some of it read otherwise.
func move(rng *rand.Rand, room schema.RoomSeen) {
	for _, name := range slices.Sorted(maps.Keys(room.Elevations)) {
		e := room.Elevations[name]
		for _, line := range [][]schema.FloorReading{e.Floor.Front, e.Floor.Back} {
			for i := range line {
				line[i][1] += some(rng, length.Inch/16)
			}
		}
	}
	slope, at := some(rng, length.Inch/8), length.Length(0)
	for _, tag := range slices.Sorted(maps.Keys(room.Cabinets)) {
		c := room.Cabinets[tag]
		at++
		for _, top := range []*length.Length{c.Tops.FL, c.Tops.FR, c.Tops.BL, c.Tops.BR} {
			*top += slope*at/8 + some(rng, length.Inch/60)
		}
		if rng.IntN(6) == 0 {
			*c.Tops.FR += some(rng, length.Inch/5)
		}
		for _, name := range slices.Sorted(maps.Keys(c.Alignment)) {
			c.Alignment[name] = some(rng, length.Inch/12)
			c.Works[name] = rng.IntN(9) > 0
		}
		c.Remark = words(rng, 30)
		room.Cabinets[tag] = c
	}
	for _, name := range slices.Sorted(maps.Keys(room.Joints)) {
		j := room.Joints[name]
		if j.FrontOffset != nil {
			*j.FrontOffset = some(rng, length.Inch/12)
		}
		*j.Gap = some(rng, length.Inch/12).Abs()
		room.Joints[name] = j
	}
}

// some is a length up to most either way, in whole nanometres.
func some(rng *rand.Rand, most length.Length) length.Length {
	return length.Length(rng.Int64N(int64(2*most)+1)) - most
}

// words are up to most words, of which no two need be alike.
func words(rng *rand.Rand, most int) string {
	var w []string
	for range 1 + rng.IntN(most) {
		letters := make([]byte, 1+rng.IntN(11))
		for i := range letters {
			letters[i] = byte('a' + rng.IntN(26))
		}
		w = append(w, string(letters))
	}
	return strings.Join(w, " ")
}

// photograph puts some photographs of every room into a record. All are as wide
// as others, or are scaled to be.
func photograph(rng *rand.Rand, rec *schema.Record) fs.FS {
	folder := fstest.MapFS{}
	last := &rec.Measured.Visits[len(rec.Measured.Visits)-1]
	for _, name := range slices.Sorted(maps.Keys(last.Rooms)) {
		room := last.Rooms[name]
		for i := range rng.IntN(5) {
			file := fmt.Sprintf("%s-%d.jpg", name, i)
			data := picture(rng)
			folder[file] = &fstest.MapFile{Data: data}
			sum := sha256.Sum256(data)
			room.Photos = append(room.Photos, schema.Photo{File: file, SHA256: hex.EncodeToString(sum[:]), Caption: words(rng, 9), By: "R. Maker"})
		}
		last.Rooms[name] = room
	}
	return folder
}

// picture draws a small picture, or one that is too wide to be kept as it is.
func picture(rng *rand.Rand) []byte {
	size := image.Rect(0, 0, 60, 20+rng.IntN(40))
	if rng.IntN(3) == 0 {
		size = image.Rect(0, 0, 1101+rng.IntN(300), 3+rng.IntN(20))
	}
	img := image.NewRGBA(size)
	a, b := 1+rng.IntN(7), 1+rng.IntN(7)
	for y := range size.Dy() {
		for x := range size.Dx() {
			img.SetRGBA(x, y, color.RGBA{uint8(a * x), uint8(b * y), uint8(x*y/8 + rng.IntN(16)), 255})
		}
	}
	var out bytes.Buffer
	var err error
	if rng.IntN(4) == 0 {
		err = png.Encode(&out, img)
	} else {
		err = jpeg.Encode(&out, img, nil)
	}
	if err != nil {
		panic(err) // of a picture in memory into memory
	}
	return out.Bytes()
}
