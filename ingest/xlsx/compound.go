package xlsx

import (
	"bytes"
	"encoding/binary"
)

// Layout of a compound file: [MS-CFB] 2.2 header, 2.3 FAT, 2.5 DIFAT, 2.6 directory.
const (
	sectorShiftAt    = 30
	directoryStartAt = 48
	difatStartAt     = 68
	difatAt          = 76 // the first 109 places of FAT sectors
	difatFirst       = 109
	entrySize        = 128
	lastSector       = 0xFFFFFFFA // higher numbers end a chain

	// mostEntries is how many entries a directory may have (ours). A protected workbook
	// has a dozen; the library walks them by recursion, and reads each that bears the
	// package's name, however long and however often.
	mostEntries = 1000
	mostNamed   = 8 // of them, how often the package's name may occur; honest files have it twice
)

// compound is a file within which other files lie.
type compound struct {
	data   []byte
	sector int      // bytes of one
	fat    []uint32 // numbers of the sectors that hold the FAT
}

// oversized tells of a compound file whose directory is no honest one's: it would
// cost whoever reads it far more than its size.
func oversized(data []byte) bool {
	c, ok := openCompound(data)
	if !ok {
		return false // the library says what is wrong with it
	}
	sectors := 0
	for at := c.uint32(directoryStartAt); at < lastSector; at = c.next(at) {
		if sectors++; sectors*c.sector/entrySize > mostEntries {
			return true
		}
	}
	return bytes.Count(data, encryptedPackage) > mostNamed || bytes.Count(data, encryptionInfo) > mostNamed
}

func openCompound(data []byte) (*compound, bool) {
	c := &compound{data: data}
	if len(data) < difatAt+4*difatFirst {
		return nil, false
	}
	switch shift := binary.LittleEndian.Uint16(data[sectorShiftAt:]); shift {
	case 9, 12:
		c.sector = 1 << shift
	default:
		return nil, false
	}
	for i := range difatFirst {
		c.fat = append(c.fat, c.uint32(difatAt+4*i))
	}
	most := len(data) / c.sector
	for at := c.uint32(difatStartAt); at < lastSector && len(c.fat) <= most+difatFirst; {
		from := (int(at) + 1) * c.sector
		if from+c.sector > len(data) {
			break
		}
		for i := 0; i < c.sector-4; i += 4 {
			c.fat = append(c.fat, c.uint32(from+i))
		}
		at = c.uint32(from + c.sector - 4)
	}
	return c, true
}

func (c *compound) uint32(at int) uint32 { return binary.LittleEndian.Uint32(c.data[at:]) }

// next is the sector that follows one in its chain.
func (c *compound) next(sector uint32) uint32 {
	of := uint32(c.sector / 4)
	if int(sector/of) >= len(c.fat) {
		return lastSector
	}
	at := (int(c.fat[sector/of])+1)*c.sector + 4*int(sector%of)
	if at+4 > len(c.data) {
		return lastSector
	}
	return c.uint32(at)
}
