package species

// goodLists are the words for goods of the trade that are no animals, a comma between
// them, in English and where they are common in German, French, Spanish, Portuguese, Japanese and
// Chinese. Common practice, no source.
var goodLists = map[GoodKind]string{
	GoodPlant: `plant,plants,aquarium plant,live plant,anubias,anubias nana,java fern,java moss,moss,moss ball,marimo,christmas moss,fern,
		vallisneria,vallis,amazon sword,sword plant,echinodorus,cryptocoryne,crypt,crypts,bucephalandra,buce,hornwort,elodea,egeria,anacharis,
		cabomba,bacopa,ludwigia,rotala,hygrophila,water wisteria,water sprite,duckweed,frogbit,amazon frogbit,salvinia,water lettuce,
		water hyacinth,red root floater,dwarf hairgrass,hairgrass,monte carlo,dwarf baby tears,baby tears,glossostigma,lilaeopsis,sagittaria,
		dwarf sagittaria,tiger lotus,lotus,water lily,lily,lily pad,pothos,bolbitis,limnophila,alternanthera,staurogyne,hydrocotyle,pennywort,
		riccia,guppy grass,fissidens,subwassertang,microsorum,aponogeton,banana plant,lucky bamboo,pflanze,pflanzen,wasserpflanze,aquariumpflanze,javafarn,
		javamoos,moos,mooskugel,plante,plantes,mousse de java,mousse,planta,plantas,musgo,musgo de java,水草,モス,アヌビアス,莫斯`,
	GoodHardscape: `wood,driftwood,bogwood,spider wood,mopani,mopani wood,root,cholla wood,rock,rocks,stone,stones,dragon stone,seiryu stone,
		slate,lava rock,gravel,substrate,soil,aqua soil,aquasoil,cave,coconut cave,pleco cave,ornament,decoration,decor,
		almond leaf,almond leaves,catappa,catappa leaf,catappa leaves,indian almond leaf,indian almond leaves,alder cone,alder cones,leaf litter,
		wurzel,holz,stein,steine,kies,hohle,seemandelbaumblatt,bois,racine,roche,pierre,gravier,madera,tronco,roca,piedra,grava,
		madeira,rocha,pedra,cascalho,流木,石,沉木`,
	GoodFood: `food,fish food,flake,flakes,flake food,pellet,pellets,wafer,wafers,algae wafer,algae wafers,bloodworm,bloodworms,frozen bloodworm,
		brine shrimp,artemia,daphnia,tubifex,blackworm,blackworms,mysis,krill,microworm,infusoria,cyclops,white worms,grindal worms,mosquito larvae,
		spirulina,
		futter,fischfutter,flocken,frostfutter,lebendfutter,mückenlarven,nourriture,paillettes,comida,alimento,escamas,racao,ração,餌,饲料`,
	GoodMedicine: `medicine,medication,treatment,ich treatment,white spot treatment,melafix,pimafix,methylene blue,malachite green,copper treatment,
		antibiotic,fungus treatment,wormer,dewormer,praziquantel,levamisole,salt,aquarium salt,dechlorinator,water conditioner,conditioner,
		tap water conditioner,bacteria starter,filter starter,fertiliser,fertilizer,plant food,medikament,arznei,wasseraufbereiter,medicament,
		traitement,conditionneur,medicina,tratamiento,acondicionador,remedio,tratamento,condicionador,薬,カルキ抜き,药`,
	GoodEquipment: `filter,heater,air pump,pump,airstone,air stone,light,lamp,led,thermometer,net,test kit,test strips,lid,hood,stand,
		siphon,gravel cleaner,sponge filter,canister filter,co2,thermostat,breeding box,gift card,voucher,filtre,chauffage,heizer,pumpe,lampe,
		aquarium set,filtro,calentador,aquecedor,フィルター,ヒーター,过滤器,加热棒`,
}
