package landxml_test

import (
	"context"
	"fmt"
	"os"
	"strings"

	"barrow/tin"
	"barrow/tin/landxml"
)

func Example() {
	text := `<?xml version="1.0" encoding="UTF-8"?>
<LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" version="1.2" date="2020-01-01" time="00:00:00">
 <Units><Metric linearUnit="meter" areaUnit="squareMeter" volumeUnit="cubicMeter" temperatureUnit="celsius" pressureUnit="HPA"/></Units>
 <Surfaces><Surface name="existing ground" state="existing"><Definition surfType="TIN">
  <Pnts><P id="1">0 0 10.5</P><P id="2">0 20 10.1</P><P id="3">20 0 10.9</P></Pnts>
  <Faces><F>1 3 2</F></Faces></Definition></Surface></Surfaces>
</LandXML>`
	file, err := landxml.Read(context.Background(), strings.NewReader(text), "ground.xml", landxml.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range file.Surfaces {
		fmt.Println(s.Name, len(s.Points), "points", s.Faces, file.Unit)
		fmt.Println("easting", s.Points[1].E, "level", s.Points[1].Level)
	}
	// Output:
	// existing ground 3 points [[0 1 2]] m
	// easting 20 level 10.1
}

func ExampleWrite() {
	err := landxml.Write(os.Stdout, &landxml.File{
		Date: "2020-01-01", Time: "00:00:00", Unit: tin.Foot,
		Surfaces: []landxml.Surface{{
			Name: "formation", State: "proposed",
			Points: []tin.Point{{E: 0, N: 0, Level: 10.5}, {E: 20, N: 0, Level: 10.1}, {E: 0, N: 20, Level: 10.9}},
			Faces:  [][3]int32{{0, 1, 2}},
		}},
	})
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" date="2020-01-01" time="00:00:00" version="1.2">
	//  <Units><Imperial linearUnit="foot" areaUnit="squareFoot" volumeUnit="cubicYard" temperatureUnit="fahrenheit" pressureUnit="inchHG" elevationUnit="feet"/></Units>
	//  <Surfaces>
	//   <Surface name="formation" state="proposed">
	//    <Definition surfType="TIN">
	//     <Pnts>
	//      <P id="1">0 0 10.5</P>
	//      <P id="2">0 20 10.1</P>
	//      <P id="3">20 0 10.9</P>
	//     </Pnts>
	//     <Faces>
	//      <F>1 2 3</F>
	//     </Faces>
	//    </Definition>
	//   </Surface>
	//  </Surfaces>
	// </LandXML>
}
