//go:build ignore

// Command protect saves a workbook under a password: protect FROM TO PASSWORD.
package main

import (
	"log"
	"os"

	"github.com/xuri/excelize/v2"
)

func main() {
	f, err := excelize.OpenFile(os.Args[1])
	if err != nil {
		log.Fatal(err)
	}
	if err := f.SaveAs(os.Args[2], excelize.Options{Password: os.Args[3]}); err != nil {
		log.Fatal(err)
	}
}
